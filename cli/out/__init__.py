"""Handing a layout over: the folder of everything, its workbook and its manifest."""

"""The report on the terminal: one small module for each of its parts, each from a result."""

"""The drawing of a plane with its schedule: SVG to print, DXF to draw on."""

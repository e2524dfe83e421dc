"""The list of panels to be cut for a layout."""

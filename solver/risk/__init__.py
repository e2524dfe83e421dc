"""What creep and doubtful positions can do to a layout."""

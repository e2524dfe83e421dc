"""The independent checker: what a layout means, by arithmetic of its own."""

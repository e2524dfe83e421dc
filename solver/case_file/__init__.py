"""From a case file to a case: its shape, its defaults, every problem of it at once."""

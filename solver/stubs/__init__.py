"""The plumber's list of stub-ups."""

"""What was taped of a plane that should be a rectangle: its true corners, and panels laid on it."""

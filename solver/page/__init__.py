"""What the page needs to follow a start that is dragged: exact tables, and the lists beside it."""

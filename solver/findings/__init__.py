"""What the reader must know, before and after solving."""

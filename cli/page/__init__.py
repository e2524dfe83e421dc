"""One self-contained page: drawings, start maps, lists. It works without a network."""

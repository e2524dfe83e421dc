"""Two result files against each other."""

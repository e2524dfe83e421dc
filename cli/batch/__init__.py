"""Solving many cases: finding them, naming their results, running, remembering, summing up."""

"""Moves that pay, removals, joins, other rules: what would change the answer."""

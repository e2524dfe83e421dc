"""From tables of planes to the ranked list of layouts, and what stands beside it."""

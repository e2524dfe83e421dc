"""What sheets or coil the panels come out of: cutting stock with a bound."""

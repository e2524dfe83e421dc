"""Clear stretches for a pipe that is not there yet."""

"""The rooms that import ortools. Import them late: loading CP-SAT costs a third of a second."""

"""The estimator's quantities and prices."""

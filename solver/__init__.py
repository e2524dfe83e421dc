"""All computation of offseam: knows no screen, no file format but the case."""

__version__ = "0.1.0"

"""Minimal groups of penetrations that no start leaves clear together, and why."""

"""The rest of a plane laid on from where the crew really stands."""

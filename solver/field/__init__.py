"""What the crew works to on the roof: one sheet a plane."""

"""Products: what was sold in the bottles, by name."""

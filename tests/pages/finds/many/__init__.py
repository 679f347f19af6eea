"""Many finds at once."""

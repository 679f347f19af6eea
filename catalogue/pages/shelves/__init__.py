"""Places with what stands in them."""

"""Pages to carry away, rendered from what visitors see: nothing here decides what that is."""

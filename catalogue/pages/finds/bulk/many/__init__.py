"""A table to type many finds at once, by keyboard alone."""

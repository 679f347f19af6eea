"""One search over everything on record."""

"""The published tables, each row with its source."""

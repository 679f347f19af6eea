"""The way in and out."""

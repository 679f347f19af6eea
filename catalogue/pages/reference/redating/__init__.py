"""Bringing every stored window up to date, and what that changed."""

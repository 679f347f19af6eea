"""Bottlers: who filled and sold, when they were in business, and what of theirs came up."""

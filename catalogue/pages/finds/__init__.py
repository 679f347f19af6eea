"""Finds: list, one find, its form, many at once, what is unfinished, story, plates."""

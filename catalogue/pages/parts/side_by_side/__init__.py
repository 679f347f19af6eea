"""Finds as they would stand side by side on a board, drawn to one scale."""

from .standing import Standing, standing_of

__all__ = ["Standing", "standing_of"]

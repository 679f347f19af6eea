"""Pictures of invented bottles, bases, shelves and sites for the demo, drawn with numpy and Pillow."""

from .bottle import draw_bottle
from .specs import BaseMark, BottleSpec, FiredLabel, Line

__all__ = ["BaseMark", "BottleSpec", "FiredLabel", "Line", "draw_bottle"]

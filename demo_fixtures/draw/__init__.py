"""Pictures of invented bottles, bases, shelves and sites for the demo, drawn with numpy and Pillow."""

from .base import draw_base, draw_base_lights
from .base_height import base_height
from .bottle import draw_bottle
from .glass import GLASSES
from .jpeg import to_jpeg
from .profiles import PROFILES
from .shelf import draw_shelf
from .site import draw_site
from .specs import BaseMark, BottleSpec, FiredLabel, Line

__all__ = [
    "GLASSES",
    "PROFILES",
    "BaseMark",
    "BottleSpec",
    "FiredLabel",
    "Line",
    "base_height",
    "draw_base",
    "draw_base_lights",
    "draw_bottle",
    "draw_shelf",
    "draw_site",
    "to_jpeg",
]

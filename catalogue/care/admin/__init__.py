"""Care in the plain administration pages: treatments are edited there, the bench is only looked at."""

from . import baths, kit, soaks, treatments

__all__ = ["baths", "kit", "soaks", "treatments"]

"""Pictures: those that belong to something, and those kept until a form is saved."""

from .held import HeldPicture
from .photo import Photo

__all__ = ["HeldPicture", "Photo"]

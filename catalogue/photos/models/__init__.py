"""Pictures: those that belong to something, those kept until a form is saved, and shelves taken in by one."""

from .held import HeldPicture
from .photo import Photo
from .shelf_session import ShelfBox, ShelfSession

__all__ = ["HeldPicture", "Photo", "ShelfBox", "ShelfSession"]

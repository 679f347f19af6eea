"""Pictures: those that belong to something, those waiting on a form or a card, and shelves."""

from .card import CardGroup, CardPicture
from .held import HeldPicture
from .photo import Photo
from .shelf_session import ShelfBox, ShelfSession

__all__ = ["CardGroup", "CardPicture", "HeldPicture", "Photo", "ShelfBox", "ShelfSession"]

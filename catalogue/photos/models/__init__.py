"""Pictures: those that belong to something, those waiting on a form or a card, and shelves."""

from .card import CardGroup, CardPicture
from .laid_pair import LaidPair
from .measured import MeasuredSize, PictureScale
from .original_check import OriginalCheck
from .photo import FileFacts, HeldPicture, Photo, PhotoQuerySet, PictureFacts, Subject
from .shelf_session import ShelfBox, ShelfSession

__all__ = [
    "CardGroup",
    "CardPicture",
    "FileFacts",
    "HeldPicture",
    "LaidPair",
    "MeasuredSize",
    "OriginalCheck",
    "Photo",
    "PhotoQuerySet",
    "PictureFacts",
    "PictureScale",
    "ShelfBox",
    "ShelfSession",
    "Subject",
]

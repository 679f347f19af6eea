"""The find, what was read on it, and whom it leads to."""

from .batch_act import BatchAct
from .move import Move
from .number import NumberSeries
from .own import OwnCode, OwnMark
from .passed import Passed
from .phrase_change import PhraseChange
from .reading import Inscription, KnownYears, MarkReading, ObservedFeature, Opinion
from .saved_view import SavedView
from .search import SearchEntry, SearchWord, WordDeletion
from .shelf_check import CheckedPiece, PieceOrder, ShelfCheck
from .specimen import Specimen
from .told_site import ToldSite
from .trade import Bottler, Maker, Product, Town
from .twins import TwinGroup
from .wish import Wish
from .works import Works

__all__ = [
    "BatchAct",
    "Bottler",
    "CheckedPiece",
    "Inscription",
    "KnownYears",
    "Maker",
    "MarkReading",
    "Move",
    "NumberSeries",
    "ObservedFeature",
    "Opinion",
    "OwnCode",
    "OwnMark",
    "Passed",
    "PhraseChange",
    "PieceOrder",
    "Product",
    "SavedView",
    "SearchEntry",
    "SearchWord",
    "ShelfCheck",
    "Specimen",
    "ToldSite",
    "Town",
    "TwinGroup",
    "Wish",
    "WordDeletion",
    "Works",
]

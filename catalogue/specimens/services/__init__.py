"""What can be done with a find: every write of more than one row, in a transaction."""

from catalogue.specimens.evidence import date_evidence

from .acts import (
    ChangedSince,
    give_opinion,
    match,
    move_to,
    part_ways,
    set_stage,
    set_standing,
    undo_change,
    withdraw_opinion,
)
from .keep import (
    FindEntry,
    Parts,
    PlaceSaid,
    ReadingGone,
    TypedFind,
    WhereFound,
    keep_find,
    keep_many,
    keep_reading,
    new_part,
    record_find,
    revise_find,
)

__all__ = [
    "ChangedSince",
    "FindEntry",
    "PlaceSaid",
    "WhereFound",
    "record_find",
    "revise_find",
    "Parts",
    "ReadingGone",
    "TypedFind",
    "date_evidence",
    "give_opinion",
    "keep_find",
    "keep_many",
    "keep_reading",
    "match",
    "move_to",
    "new_part",
    "part_ways",
    "set_stage",
    "set_standing",
    "undo_change",
    "withdraw_opinion",
]

"""What can be done with a find: every write of more than one row, in a transaction."""

from catalogue.specimens.evidence import date_evidence

from .acts import (
    ChangedSince,
    give_opinion,
    hold_opinion,
    match,
    move_back,
    move_to,
    part_ways,
    set_stage,
    set_standing,
    take_opinion_back,
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
from .keep_new import NewFind, keep_new_finds
from .seen import SeenAlready, note_beside, note_feature, take_beside_back, take_feature_back

__all__ = [
    "ChangedSince",
    "FindEntry",
    "NewFind",
    "PlaceSaid",
    "SeenAlready",
    "WhereFound",
    "record_find",
    "revise_find",
    "Parts",
    "ReadingGone",
    "TypedFind",
    "date_evidence",
    "give_opinion",
    "hold_opinion",
    "keep_find",
    "keep_many",
    "keep_new_finds",
    "keep_reading",
    "match",
    "move_back",
    "move_to",
    "new_part",
    "note_beside",
    "note_feature",
    "part_ways",
    "set_stage",
    "set_standing",
    "take_beside_back",
    "take_feature_back",
    "take_opinion_back",
    "undo_change",
    "withdraw_opinion",
]

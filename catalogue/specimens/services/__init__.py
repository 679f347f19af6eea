"""What can be done with a find: every write of more than one row, in a transaction."""

from catalogue.specimens.evidence import date_evidence

from .keep import Parts, ReadingGone, TypedFind, keep_find, keep_many, keep_reading, new_part
from .move import move_to
from .opinions import give_opinion, withdraw_opinion
from .standing import set_stage, set_standing
from .twins import match, part_ways

__all__ = [
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
    "withdraw_opinion",
]

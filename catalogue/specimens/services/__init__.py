"""What can be done with a find: every write of more than one row, in a transaction."""

from catalogue.specimens.derived.redating import date_evidence

from .keep import Parts, keep_find, new_part
from .move import move_to
from .opinions import give_opinion, withdraw_opinion
from .standing import set_stage, set_standing
from .twins import match, part_ways

__all__ = [
    "Parts",
    "date_evidence",
    "give_opinion",
    "keep_find",
    "match",
    "move_to",
    "new_part",
    "part_ways",
    "set_stage",
    "set_standing",
    "withdraw_opinion",
]

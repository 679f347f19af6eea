"""What can be done with a find: every write of more than one row, in a transaction."""

from catalogue.specimens.derived.redating import date_evidence, redate, redate_many
from catalogue.specimens.derived.writer import refresh_search

from .keep import Parts, ReadingGone, keep_find, keep_reading, new_part
from .move import move_to
from .opinions import give_opinion, withdraw_opinion
from .standing import set_stage, set_standing
from .twins import match, part_ways

__all__ = [
    "Parts",
    "ReadingGone",
    "date_evidence",
    "give_opinion",
    "keep_find",
    "keep_reading",
    "match",
    "move_to",
    "new_part",
    "part_ways",
    "redate",
    "redate_many",
    "refresh_search",
    "set_stage",
    "set_standing",
    "withdraw_opinion",
]

"""Date an old bottle from what can be seen on it: pure arithmetic over tables of published facts.

    ref = reference()
    finding = assess(Case.from_dict({"mark": {"letters": "LG", "right": "69"}}, ref), ref)
    finding.words, finding.window.start, finding.window.end

The answers say how sure they are and why; they are estimates of making, not of losing.
"""

from . import edtf
from .assess import Finding, assess
from .case import Case, FeatureSeen, MarkReading
from .checks import CaseError, EdtfError, ReferenceError
from .conflicts import Conflict, Correction
from .copies import Reproduction
from .decoding import Would, what_would
from .inscription import Inscription, Phrase, parse_inscription, phrases_in
from .known import Known
from .library import Reference, reference
from .looknext import Look
from .ranking import MarkShare, RankedMark, rank_marks
from .reasons import Because, Lane
from .window import Peak, Window
from .years import Run

__all__ = [
    "Because",
    "Case",
    "CaseError",
    "Conflict",
    "Correction",
    "EdtfError",
    "FeatureSeen",
    "Finding",
    "Inscription",
    "Known",
    "Lane",
    "Look",
    "MarkReading",
    "MarkShare",
    "Peak",
    "Phrase",
    "RankedMark",
    "Reference",
    "Reproduction",
    "ReferenceError",
    "Run",
    "Window",
    "Would",
    "assess",
    "edtf",
    "parse_inscription",
    "phrases_in",
    "rank_marks",
    "reference",
    "what_would",
]

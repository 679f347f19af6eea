"""Date an old bottle from what can be seen on it: pure arithmetic over tables of published facts.

    ref = reference()
    finding = assess(Case.from_dict({"mark": {"letters": "LG", "right": "69"}}, ref), ref)
    finding.words, finding.window.start, finding.window.end

The answers say how sure they are and why; they are estimates of making, not of losing.
"""

from . import edtf
from .assess import assess
from .because import Because
from .case import Case, FeatureSeen, Known
from .conflicts import Branch, Conflict
from .decoding import Would, what_would
from .errors import CaseError, EdtfError, ReferenceError
from .finding import Finding
from .inscription import Inscription, parse_inscription
from .lanes import Lane
from .library import Reference, reference
from .likely import Run
from .looknext import Look
from .phrases import Phrase, phrases_in
from .ranking import MarkShare, RankedMark, rank_marks
from .readings import MarkReading
from .window import Window

__all__ = [
    "Because",
    "Branch",
    "Case",
    "CaseError",
    "Conflict",
    "EdtfError",
    "FeatureSeen",
    "Finding",
    "Inscription",
    "Known",
    "Lane",
    "Look",
    "MarkReading",
    "MarkShare",
    "Phrase",
    "RankedMark",
    "Reference",
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

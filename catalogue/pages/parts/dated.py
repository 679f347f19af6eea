"""What the page says about a find's years: phrase, ruler with its lanes, reasons, disagreements."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe

import dating
from catalogue.common.drawings.large_ruler import RulerLane, RulerYears, large_ruler, year_lanes
from catalogue.common.drawings.ruler import small_ruler
from catalogue.common.drawings.year_axis import YearAxis, curve_per_year
from catalogue.common.text import counted, sentence
from catalogue.specimens.evidence import evidence_of
from catalogue.specimens.models import Specimen
from catalogue.specimens.queries import catalogue_axis
from catalogue.specimens.services import date_evidence
from catalogue.specimens.year_words import likely_years_words, span
from dating.window import PROBABLY, Bounds, Window, age_words

from .looks import LookNext, look_to_take, looks_shown

SOFT_BELOW = 0.75  # a piece that weighs less is drawn fainter: it was probable at most
AGREES_BELOW = 0.05  # bits: a reason that says less changes nothing
UNDATED_WORDS = "not yet dated"


@dataclass(frozen=True, slots=True)
class Reason:
    """One piece of evidence in words."""

    evidence: str
    years: str
    cut: str
    tells: str
    source: str
    why_weight: str
    detail: str
    agrees: bool = False
    """Whether it changes nothing that the stronger ones say."""

    @property
    def tells_sentence(self) -> str:
        """ "It settles most of it." """
        return f"It {self.tells}."


@dataclass(frozen=True, slots=True)
class CopyCaution:
    """When such a piece was copied, what gives the copy away, and who says so."""

    years: str
    copy: str
    tell_tales: str
    source: str
    id: str
    tick: str = ""
    """The address where such a sign is said to be seen."""


@dataclass(slots=True)
class Dated:
    """Everything the made sheet shows."""

    words: str
    age: str = ""
    peak: str = ""
    edtf: str = ""
    ruler: SafeString = SafeString("")
    lanes: SafeString = SafeString("")
    """Each reason in words, its years on the same axis as the ruler's."""
    small: SafeString = SafeString("")
    """The ruler in the height of a row, for where it stays in sight."""
    likely: str = ""
    reasons: list[Reason] = field(default_factory=list)
    conflicts: tuple[dating.Conflict, ...] = ()
    corrected: str = ""
    marks: tuple[dating.MarkShare, ...] = ()
    looks: list[LookNext] = field(default_factory=list)
    trouble: str = ""
    misplaced: tuple[str, ...] = ()
    copies: list[CopyCaution] = field(default_factory=list)

    @property
    def undated(self) -> bool:
        return not self.reasons and self.words == UNDATED_WORDS

    @property
    def strongest(self) -> Reason | None:
        """The reason that says most of the years."""
        return self.reasons[0] if self.reasons else None

    @property
    def others_words(self) -> str:
        """What the rest of the reasons do: "Two more narrow it; three more agree." Empty without any."""
        rest = self.reasons[1:]
        agree = sum(reason.agrees for reason in rest)
        if not rest:
            return ""
        if self.conflicts:
            return sentence(f"{counted(len(rest))} more {'stands' if len(rest) == 1 else 'stand'} beside it.")
        narrow = len(rest) - agree
        parts = []
        if narrow:
            parts.append(f"{counted(narrow)} more {'narrows' if narrow == 1 else 'narrow'} it")
        if agree:
            parts.append(f"{counted(agree)} more {'agrees' if agree == 1 else 'agree'}")
        return sentence("; ".join(parts) + ".")


def dated_now(find: Specimen, *, look_next: bool = False, aside: Sequence[str] = ()) -> Dated:
    """The answer of this moment with its reasons. Five queries where the find's rows are prefetched.

    Evidence that can't be dated falls back on the stored answer, and the page says so. `aside`: questions
    that are not asked again.
    """
    evidence = evidence_of(find)
    try:
        finding = date_evidence(evidence, look_next=look_next or not evidence.says_something(), aside=aside)
    except dating.CaseError as error:
        return stored(find, catalogue_axis(), trouble=f"This can't be dated afresh: {error}.")
    return of_finding(finding, catalogue_axis())


def of_finding(finding: dating.Finding, axis: YearAxis) -> Dated:
    """An answer of the dating service as pages show it; also for a bottle that is no find yet."""
    ruler, lanes = _drawn(finding, axis)
    return Dated(
        words=finding.words,
        age=finding.age_words,
        peak=finding.peak_words if finding.because else "",
        edtf=finding.edtf or "",
        ruler=ruler,
        lanes=lanes,
        small=_small_ruler(finding, axis),
        likely=likely_years_words(finding),
        reasons=[_reason(reason, finding) for reason in finding.because],
        conflicts=finding.conflicts,
        corrected=finding.corrected,
        marks=finding.marks,
        looks=[look_to_take(look, finding) for look in looks_shown(finding.look_next)],
        misplaced=finding.misplaced,
        copies=[_copy(copy, finding.ref) for copy in finding.copies],
    )


def stored(find: Specimen, axis: YearAxis, *, trouble: str = "") -> Dated:
    """The stored answer, without reasons: what a visitor sees. No query, no dating."""
    answer = find.made_ruler or {}
    curve = curve_per_year(answer.get("curve") or [])
    years = answer.get("years")
    window = (find.made_from, find.made_to)
    words = find.made_words or UNDATED_WORDS
    drawn = large_ruler(axis, RulerYears(curve, years, window, find.made_best, words=words))
    return Dated(
        words=words,
        age=_age(years, *window, words),
        peak=_stored_peak(find),
        edtf=find.made_edtf,
        # safe: the drawing escapes every text it is given
        ruler=mark_safe(drawn),
        trouble=trouble,
    )


def _stored_peak(find: Specimen) -> str:
    """The year that stands out, where it says more than the window."""
    if find.made_best is None or find.made_from == find.made_to:
        return ""
    return dating.Peak(find.made_best).words


def _age(years: list[int] | None, first: int | None, last: int | None, words: str) -> str:
    """The age this year, from a stored answer, as sure as its words; empty where no side is bounded."""
    if not years and first is None and last is None:
        return ""
    one_of = tuple(years) if years else None
    window = Window(first, last)
    return age_words(
        Bounds((), window, one_of, disagree=False, probably=words.startswith(PROBABLY)),
        timezone.localdate().year,
    )


def _drawn(finding: dating.Finding, axis: YearAxis) -> tuple[SafeString, SafeString]:
    """The large ruler and the lanes below it; both empty where there is nothing to go by."""
    if not finding.because:
        return SafeString(""), SafeString("")
    first, _ = finding.axis
    curve = [(first + n, p) for n, p in enumerate(finding.posterior)]
    window = finding.window or (None, None)
    lanes = [_lane(lane) for lane in finding.lanes]
    shown = RulerYears(curve, finding.years, window, finding.best, lanes, finding.words)
    # safe: the drawing escapes every text it is given
    return mark_safe(large_ruler(axis, shown)), mark_safe(year_lanes(axis, shown))


def _small_ruler(finding: dating.Finding, axis: YearAxis) -> SafeString:
    if not finding.because:
        return SafeString("")
    curve = list(enumerate(finding.posterior, start=finding.axis[0]))
    window = finding.window or (None, None)
    years = list(finding.years) if finding.years else None
    axis = axis.holding(curve, window=window, years=years or ())
    # safe: the drawing escapes every text it is given
    return mark_safe(small_ruler(axis, curve=curve, years=years, window=window, words=finding.words))


def _lane(lane: dating.Lane) -> RulerLane:
    curve = [(year, 1.0) for year in lane.years] if lane.years else curve_per_year(lane.curve)
    return RulerLane(lane.label, curve, lane.weight < SOFT_BELOW, lane.start is None, lane.end is None)


def _reason(reason: dating.Because, finding: dating.Finding) -> Reason:
    return Reason(
        evidence=reason.evidence,
        years=in_years(reason.start, reason.end),
        cut=reason.cut,
        tells=tells(reason.bits, alone=len(finding.because) == 1, disagrees=bool(finding.corrected)),
        source=reason.source,
        why_weight=reason.why_weight,
        detail=reason.detail,
        agrees=reason.bits < AGREES_BELOW,
    )


def _copy(copy: dating.Reproduction, reference: dating.Reference) -> CopyCaution:
    return CopyCaution(copy.years, copy.copy, copy.tell_tales, reference.source_words(copy.source), copy.id)


def in_years(first: int | None, last: int | None) -> str:
    """A range in words; empty where it is open on both sides."""
    if first is None and last is None:
        return ""
    if last is None:
        return f"{first} or later"
    if first is None:
        return f"{last} or earlier"
    return span(first, last)


def tells(bits: float, *, alone: bool = False, disagrees: bool = False) -> str:
    """How much a piece of evidence says (bits of information), in words. Bounds of the words: our own.

    Where the evidence disagrees nothing is settled, and a piece that stands alone agrees with nothing.
    """
    if bits < AGREES_BELOW:
        return "says nothing of the years" if alone else "agrees with the rest"
    if bits < 0.75:
        return "counts for little" if disagrees else "narrows it a little"
    if bits < 2.5:
        return "counts for something" if disagrees else "narrows it"
    return "counts for much" if disagrees else "settles most of it"

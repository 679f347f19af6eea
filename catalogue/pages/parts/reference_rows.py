"""Rows of the published tables in words."""

from dataclasses import dataclass, field

from django.utils.safestring import SafeString, mark_safe

import dating
from catalogue.common.drawings.making_sketch import making_sketch
from catalogue.common.words.trade_terms import TradeTerm
from catalogue.specimens.code_words import explain
from catalogue.specimens.year_words import span_words
from dating.codes import DateCode
from dating.constants import Assumption
from dating.evidence import reliability_of
from dating.facts import BASIS_WORDS, Source
from dating.tables import Exclusion, Feature, Mark

from .choices import region_words
from .table_marks import MARK_BASIS_WORDS, basis_of, drawn, source_of, text_of, years_of

LIMIT_WORDS = {
    "start": "the beginning is firm",
    "end": "the end is firm",
    "both": "both ends are firm",
}


@dataclass(frozen=True, slots=True)
class ReferenceRow:
    """One row: what it is, its years, remarks, and where they are from."""

    id: str
    title: str
    years: str = ""
    remarks: list[str] = field(default_factory=list)
    source: str = ""
    basis: str = ""
    drawing: SafeString | None = None
    letters: str = ""

    @property
    def fields(self) -> list[str]:
        """Everything in it, for the look-up."""
        return [self.id, self.title, self.letters, self.years, *self.remarks, self.source]


def mark_row(mark: Mark, ref: dating.Reference) -> ReferenceRow:
    """A maker's mark."""
    place = f"{mark.maker}, {mark.place}" if mark.place else mark.maker
    remarks = [place, mark.found_on and f"seen on: {mark.found_on}", mark.note, mark.common.words]
    return ReferenceRow(
        mark.id,
        text_of(mark),
        years_of(mark),
        [r for r in remarks if r],
        source_of(mark, ref),
        basis_of(mark),
        drawn(mark),
        mark.letters,
    )


def feature_row(feature: Feature, ref: dating.Reference) -> ReferenceRow:
    """A way of making."""
    common = span_words(feature.common_from, feature.common_to)
    whole = span_words(feature.earliest, feature.latest)
    where = region_words(feature.region)
    held = "" if feature.applies_to in ("", "any") else f"; for {ref.held[feature.applies_to].name}"
    remarks = [
        feature.how_to_see,
        f"{feature.group.replace('-', ' ')}; {where}{held}",
        _beside(feature, ref),
        f"first to last: {whole}" + (f"; {limit}" if (limit := LIMIT_WORDS.get(feature.hard_limit)) else ""),
        _years_read(feature),
        feature.note,
    ]
    return ReferenceRow(
        feature.id,
        feature.term,
        f"common: {common}",
        [r for r in remarks if r],
        ref.source_words(feature.source, feature.locator),
        MARK_BASIS_WORDS.get(feature.basis, feature.basis),
        # safe: drawn from numbers of our own
        mark_safe(sketch) if (sketch := making_sketch(feature.id)) else None,
    )


def _years_read(feature: Feature) -> str:
    """Which of its years were read in a text; nothing of a row from memory, which is said beside it."""
    if feature.basis != "published":
        return ""
    read = [word.replace("_", " ") for word in feature.years_read]
    rest = "the others are a compiler's reading and count as soft"
    if reliability_of(feature) == "published":
        return "all its years were read in a text"
    return f"years read in a text: {', '.join(read) or 'none'}; {rest}"


def copy_row(copy: dating.Reproduction, ref: dating.Reference) -> ReferenceRow:
    """What was made again later."""
    copied = [
        ref.features[name].term if name in ref.features else ref.marks[name].maker for name in copy.applies_to
    ]
    return ReferenceRow(
        copy.id,
        copy.copy[:1].upper() + copy.copy[1:],
        copy.years,
        [copy.tell_tales, f"copied: {'; '.join(copied)}"],
        ref.source_words(copy.source),
        MARK_BASIS_WORDS.get(copy.basis, copy.basis),
    )


def _beside(feature: Feature, ref: dating.Reference) -> str:
    """Which other row it belongs to."""
    if feature.variant_of:
        return f"taken in place of “{ref.features[feature.variant_of].term}” for such bottles"
    return f"a finer kind of “{ref.features[feature.kind_of].term}”" if feature.kind_of else ""


def code_row(code: DateCode, ref: dating.Reference) -> ReferenceRow:
    """A scheme of date codes."""
    makers = sorted({ref.marks[mark].maker for mark in code.mark_ids if mark in ref.marks})
    remarks = [
        f"for: {'; '.join(makers)}" if makers else "a rule for a whole class of bottles",
        code.table and f"list: {code.table.replace(';', '; ')}",
        code.example and f"examples: {code.example}",
        code.note,
    ]
    return ReferenceRow(
        code.id,
        explain(code),
        "",
        [r for r in remarks if r],
        source_of(code, ref),
        basis_of(code),
    )


def exclusion_row(pair: Exclusion, ref: dating.Reference) -> ReferenceRow:
    """Two features that rule each other out."""
    a, b = ref.features[pair.feature_a].term, ref.features[pair.feature_b].term
    return ReferenceRow(pair.id, f"{a} / {b}", "", [pair.why], ref.source_words(pair.source), "a deduction")


def phrase_row(phrase: dating.Phrase, ref: dating.Reference) -> ReferenceRow:
    """Words on the glass and what they point to."""
    feature = ref.features.get(phrase.feature)
    remarks = [
        phrase.says,
        phrase.language,
        feature and f"points to: {feature.term}",
        phrase.region and f"points to: {region_words(phrase.region)}",
    ]
    return ReferenceRow(
        phrase.words,
        phrase.words.replace("#####", "12345").replace("#", "12").replace("@@", "AB"),
        "",
        [r for r in remarks if r],
        ref.source_words(phrase.source),
        MARK_BASIS_WORDS.get(phrase.basis, phrase.basis),
    )


def source_row(source: Source) -> ReferenceRow:
    """A source."""
    return ReferenceRow(source.key, source.words, "", [r for r in (source.published_in, source.kind) if r])


def assumption_row(assumption: Assumption) -> ReferenceRow:
    """One of the catalogue's own numbers."""
    return ReferenceRow(
        assumption.name,
        assumption.name,
        f"{_value(assumption.value)} ({assumption.unit})" if assumption.unit else _value(assumption.value),
        [assumption.reason],
        "our own choice",
    )


def _value(value: object) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{key} {_value(each)}" for key, each in value.items())
    if isinstance(value, tuple | list):
        nested = any(isinstance(each, tuple | list) for each in value)
        return ("; " if nested else " ").join(_value(each) for each in value)
    return f"{value:g}" if isinstance(value, float) else str(value)


def term_row(term: TradeTerm) -> ReferenceRow:
    """A word of the trade and what it means."""
    remarks = [term.words, f"also: {', '.join(term.forms)}" if term.forms else ""]
    return ReferenceRow(
        term.key,
        term.term[:1].upper() + term.term[1:],
        remarks=[r for r in remarks if r],
        source=term.source_words,
        basis=BASIS_WORDS[term.grounds.basis] if term.grounds.sources else "",
    )

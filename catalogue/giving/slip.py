"""The words of the slip that goes with a piece, as they are on the day it leaves."""

from copy import copy
from typing import Any

import dating
from catalogue.care.acts import Act
from catalogue.care.care_tables import treatment_name
from catalogue.care.models import ConditionReport, Treatment
from catalogue.care.piece_facts import Knowledge, knowledge_of
from catalogue.common.localisation import month_words
from catalogue.common.models import HouseSettings
from catalogue.common.text import sentence
from catalogue.common.words import sure
from catalogue.photos.models import Photo
from catalogue.photos.models.laid_pair import before_and_after
from catalogue.sites.models import Site
from catalogue.sites.queries import place_for_visitors, told_of
from catalogue.specimens.evidence import evidence_of
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import date_evidence
from catalogue.specimens.stored_answer import NO_YEARS
from catalogue.specimens.year_words import likely_years_words, made_line, span_words

from .told import hold_words_back

REASONS_TOLD = 2
# They speak against giving and name the site's past: nothing that whoever gets the piece has to mind.
OF_THE_SITE = frozenset({"hold", "returned"})


def slip_words(find: Specimen) -> dict[str, Any]:
    """What the slip says, by its parts. No day and no person: a name would outlive its erasing.

    It leaves the house, so that it tells no more of the site than a visitor reads, but for its water and the
    month. Pictures are kept by key: one that is deleted later is missing on a slip that is printed again.
    """
    shown = copy(find)
    hold_words_back([shown])
    marked_for = f"marked for {find.town}" if find.town else ""
    finding = _finding(find)
    known = knowledge_of([find]).get(find.pk)
    return {
        "number": find.number,
        "title": shown.what,
        "place_line": "; ".join(part for part in (marked_for, _maker(find)) if part),
        "made_words": _made(find),
        "doubt": _doubt(find, finding),
        "reasons": _reasons(finding),
        "ruler": _ruler(find),
        "where_found": ", ".join(
            part for part in (place_for_visitors(find.where_found, water=True), _month(find)) if part
        ),
        "story": shown.story,
        "treatment": _treated(find),
        "condition": _condition(find),
        "hazards": _hazards(known) if known else [],
        "pictures": _pictures(find),
        "giver": HouseSettings.current().owner_name,
    }


def _made(find: Specimen) -> str:
    """The same phrase as on its page, with its doubt; nothing where nothing is known."""
    return "" if find.made_words in NO_YEARS else made_line(find.made_words)


def _finding(find: Specimen) -> dating.Finding | None:
    """Its dating with the reasons, where that says what the page says; None where it can't be told."""
    if find.made_words in NO_YEARS:
        return None
    try:
        finding = date_evidence(evidence_of(find))
    except dating.CaseError:
        return None
    return finding if finding.words == find.made_words and finding.because else None


def _doubt(find: Specimen, finding: dating.Finding | None) -> str:
    """How sure the years and the maker are: "90 % sure: 1905–1915." """
    parts = []
    if finding and (likely := likely_years_words(finding)):
        parts.append(f"90 % sure: {likely}.")
    if find.maker and find.maker_how == Specimen.MakerHow.LIKELY and find.maker_probability is not None:
        parts.append(f"{sentence(sure(find.maker_probability))} it is a piece by {find.maker}.")
    return " ".join(parts)


def _reasons(finding: dating.Finding | None) -> list[str]:
    """What says most of the years: "Crown cap finish: 1892 or later." Without what tells a hidden site."""
    if finding is None:
        return []
    lines = []
    for reason in finding.because:
        years = span_words(reason.start, reason.end) if (reason.start, reason.end) != (None, None) else ""
        lines.append(sentence(f"{reason.evidence}: {years}" if years else reason.evidence).rstrip(".") + ".")
    hidden = Site.objects.exclude(show_as=Site.ShowAs.EXACT).values_list("name", flat=True)
    return [line for line in lines if not told_of(hidden, [line])][:REASONS_TOLD]


def _ruler(find: Specimen) -> dict[str, Any]:
    """Its curve over the years, candidate years and window; empty where nothing dates it."""
    stored = find.made_ruler or {}
    if find.made_words in NO_YEARS or not stored.get("curve"):
        return {}
    window = [find.made_from, find.made_to]
    return {"curve": stored["curve"], "years": stored.get("years") or [], "window": window}


def _month(find: Specimen) -> str:
    """When it came up, never nearer than its month."""
    return month_words(find.dive.date) if find.dive else find.came_up_words


def _maker(find: Specimen) -> str:
    if not find.maker:
        return ""
    return f"{find.maker}, likely" if find.maker_how == Specimen.MakerHow.LIKELY else str(find.maker)


def _treated(find: Specimen) -> str:
    """Methods in the order of first use; a tumbled surface must be told to whoever gets the piece."""
    methods = Treatment.objects.filter(find=find).order_by("begun", "pk").values_list("method", flat=True)
    return ", ".join(map(treatment_name, dict.fromkeys(methods)))


def _condition(find: Specimen) -> str:
    """The last look at it: its grade and what was seen, without notes, which are the owner's."""
    report = ConditionReport.objects.filter(find=find).prefetch_related("damages").first()
    if report is None:
        return ""
    seen = "; ".join(str(damage) for damage in report.damages.all())
    return f"{report.get_grade_display()} ({month_words(report.on)}){f': {seen}' if seen else ''}"


def _hazards(known: Knowledge) -> list[str]:
    """What whoever gets it has to know of this very piece, and what its glass asks of the shelf."""
    told = [each for each in known.may(Act.HAND_OVER).objections if each.gate.key not in OF_THE_SITE]
    lines = [sentence(each.words) for each in told]
    named = {each.gate.key for each in told}
    lines += [
        sentence(gate.name) for gate in known.hazards if gate.key not in named and gate.key not in OF_THE_SITE
    ]
    return [f"{line.rstrip('.')}." for line in [*lines, *(sentence(each.words) for each in known.storage)]]


def _pictures(find: Specimen) -> dict[str, int]:
    """By "before" and "after" the keys of pictures that visitors might see; of one alone, "picture"."""
    private = Photo.PRIVATE
    rows = Photo.objects.filter(find=find).in_order()
    photos = [photo for photo in rows if photo.opened or photo.role not in private]
    if pair := before_and_after(photos):
        return {"before": pair.before.pk, "after": pair.after.pk}
    one = next(
        iter(sorted((p for p in photos if p.role not in Photo.NEVER_COVER), key=Photo.cover_rank)), None
    )
    return {"picture": one.pk} if one else {}

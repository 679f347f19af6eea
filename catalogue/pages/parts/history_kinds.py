"""Kinds of records whose history has a page: their parts, what is left out, and what never goes back.

A history is the owner's alone. A find's lies at an address of its own, and an earlier state of it is named by
the moment, as rows that belong to it go back with it.
"""

from dataclasses import dataclass
from typing import Any

from django import template
from django.db import models
from django.db.models import Model
from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from catalogue.care.models import Bath, ConditionReport, Soak, Tool, Treatment, Vessel
from catalogue.care.models.bath import BathMember
from catalogue.care.models.soak import SoakMember
from catalogue.common.models import HouseSettings
from catalogue.labels.models import OwnSheet
from catalogue.photos.models import Photo
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Permission, Site
from catalogue.specimens.models import (
    Bottler,
    Maker,
    OwnCode,
    OwnMark,
    Product,
    Specimen,
    Town,
    Wish,
    Works,
)

from .history_parts import FIND_PARTS, HistoryPart

register = template.Library()
# Of every kind: keys and times, what addresses are made of, and what a file says of itself.
NOT_TOLD = frozenset({"id", "created", "changed", "slug", "history_id"})


@dataclass(frozen=True, slots=True)
class HistoryKind:
    """`derived`: columns that are worked out. `stays`: columns that no earlier state brings back, or None
    where nothing of it goes back: it says what was done, not what somebody wrote. `acts`: those of them that
    acts with rows and ways back of their own write; Undo leaves them too. `follows`: worked out, and told all
    the same. `many`: its name is a plural."""

    key: str
    model: Any
    name: str
    parts: tuple[HistoryPart, ...] = ()
    derived: frozenset[str] = frozenset()
    stays: frozenset[str] | None = frozenset()
    acts: frozenset[str] = frozenset()
    follows: frozenset[str] = frozenset()
    many: bool = False

    @property
    def rows(self) -> Any:
        """All rows of it, those in the bin too, where it has one."""
        return getattr(self.model, "everything", self.model._base_manager)

    @property
    def was(self) -> str:
        """ "it was", "they were"."""
        return "they were" if self.many else "it was"

    @property
    def as_before(self) -> str:
        """The end of the sentence that says it is undone."""
        return f"{'are' if self.many else 'is'} as {self.was} before"

    @property
    def by_moment(self) -> bool:
        """Whether an earlier state is named by a moment: rows that belong to it go back with it."""
        return any(part.goes_back for part in self.parts)


# Who may see it, and what a person decided with a reason, are decided anew, not brought back.
DECIDED = frozenset({"show_as", "hold_cleared_reason", "hold_cleared_by", "hold_cleared_on"})
OF_THE_FILE = frozenset(
    {"sha256", "format", "bytes", "width", "height", "original_name", "sizes_made", "taken_offset_min"}
)
MIXED_FIGURES = frozenset({"water_ml", "acid_ml", "volume_ml", "acid_mol", "strength_wt_pct"})
# Of a find: what follows from the rest, and what its address is made of.
WORKED_OUT_OF_FIND = frozenset(
    {"number", "number_year", "number_ordinal", "number_piece", "number_part", "maker_how"}
    | {"maker_probability", "made_from", "made_to", "made_best", "made_edtf", "made_decades", "made_with"}
    | {"made_in", "made_ruler", "made_first", "made_last", "made_spread"}
)
# What was found out about a piece goes back; where it stands, whose it is now and who may see it do not.
STANDS_NOW = frozenset({"standing", "stage", "place", "twin_group", "shared"})
HISTORY_KINDS = {
    kind.key: kind
    for kind in (
        HistoryKind(
            "find",
            Specimen,
            "find",
            FIND_PARTS,
            derived=WORKED_OUT_OF_FIND,
            stays=STANDS_NOW,
            acts=STANDS_NOW,
            follows=frozenset({"maker", "made_words"}),
        ),
        HistoryKind("dive", Dive, "dive", derived=frozenset({"year", "ordinal"})),
        HistoryKind("site", Site, "site", (HistoryPart(Permission, "site", "Permission"),), stays=DECIDED),
        HistoryKind(
            "permission", Permission, "permission", stays=frozenset({"site", "file", "file_came_as"})
        ),
        HistoryKind("place", Place, "place", derived=frozenset({"path", "order"})),
        HistoryKind("town", Town, "town", derived=frozenset({"key", "none_of", "from_gazetteer"})),
        HistoryKind(
            "maker",
            Maker,
            "maker",
            (
                HistoryPart(Works, "maker", "Works", goes_back="works", several=True),
                HistoryPart(OwnMark, "maker", "Mark", goes_back="marks", several=True),
                HistoryPart(OwnCode, "maker", "Code", goes_back="codes", several=True),
            ),
            derived=frozenset({"reference_key"}),
        ),
        HistoryKind("bottler", Bottler, "bottler"),
        HistoryKind("product", Product, "product"),
        HistoryKind("wish", Wish, "wish", stays=frozenset({"struck_off_at", "found"})),
        HistoryKind(
            "picture",
            Photo,
            "picture",
            derived=OF_THE_FILE,
            stays=frozenset({"find", "dive", "site", "place", "order", "opened", "role"}),
        ),
        HistoryKind("tool", Tool, "tool"),
        HistoryKind("vessel", Vessel, "vessel"),
        HistoryKind("condition", ConditionReport, "condition report", stays=frozenset({"find"})),
        HistoryKind(
            "treatment", Treatment, "treatment", stays=frozenset({"find", "override_reason", "method"})
        ),
        HistoryKind(
            "bath",
            Bath,
            "bath",
            (HistoryPart(BathMember, "bath", "Piece"),),
            derived=MIXED_FIGURES,
            stays=None,
        ),
        HistoryKind("soak", Soak, "soak", (HistoryPart(SoakMember, "soak", "Piece"),), stays=None),
        HistoryKind("sheet", OwnSheet, "sheet of labels"),
        HistoryKind("house", HouseSettings, "settings", many=True),
    )
}

# Columns whose own name is no word of the screen.
SCREEN_NAMES = {
    "began_at": "begun",
    "begun": "begun",
    "ended_at": "ended",
    "ended_how": "how it ended",
    "from_year": "from the year",
    "to_year": "to the year",
    "from_circa": "first year about",
    "to_circa": "last year about",
    "look_for_years": "missing years are listed",
    "mixed_at": "mixed",
    "valid_from": "valid from",
    "valid_to": "valid to",
    "asked_on": "asked on",
    "water_body": "water",
    "override_reason": "done all the same, because",
    "taken_at": "taken",
    "in_at": "put in",
    "out_at": "taken out",
    "window_of": "how its years are known",
    "found_on": "found on",
    "dangers": "hazards of diving there",
    "ended_on": "ended on",
    "came_back_on": "came back on",
    "older_numbers": "older numbers",
    "field_tag": "field tag",
    "where_on_site": "where on the site",
    "found_with": "found with",
    "twin_group": "twins",
    "label_number_alone": "labels hold the number alone",
}


def history_kind_of(record: models.Model) -> HistoryKind | None:
    """The kind of a record; None where its history has no page of its own."""
    return next((kind for kind in HISTORY_KINDS.values() if isinstance(record, kind.model)), None)


def history_address(record: models.Model) -> str:
    """Where a record's history is told; empty where nowhere."""
    if isinstance(record, Specimen):
        return reverse("finds:find_changes", args=[record.number])
    kind = history_kind_of(record)
    return reverse("history:history", args=[kind.key, record.pk]) if kind else ""


def told_columns(model: type[models.Model], left_out: frozenset[str]) -> "list[models.Field[Any, Any]]":
    """The columns of a record that its history tells, in their order."""
    tracked = {field.name for field in model.history.model._meta.fields}  # type: ignore[attr-defined]
    return [
        field
        for field in model._meta.concrete_fields
        if field.name in tracked and field.name not in NOT_TOLD | left_out
    ]


def screen_name(field: "models.Field[Any, Any]") -> str:
    """What a person calls a column."""
    name = SCREEN_NAMES.get(field.name, str(field.verbose_name))
    return name[:1].upper() + name[1:]


@register.simple_tag
def history_link(record: Model) -> SafeString:
    """ "Who changed what", leading to its history. No query."""
    return format_html('<a class="no-print" href="{}">Who changed what</a>', history_address(record))

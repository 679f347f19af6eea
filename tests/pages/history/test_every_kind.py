"""Every model with a history has a page that tells it, each of its fields a name of the screen, and a way
there from its own page; what can go into the bin is offered it there."""

import re

import pytest
from django.apps import apps
from django.urls import reverse

from catalogue.care.models import ConditionReport, Treatment
from catalogue.care.services import start_soak
from catalogue.common.records import Record
from catalogue.pages.bin.views import BIN_KINDS
from catalogue.pages.parts.history_kinds import (
    HISTORY_KINDS,
    SCREEN_NAMES,
    history_address,
    history_kind_of,
    told_columns,
)
from catalogue.photos.models import Photo
from catalogue.photos.services import take_in
from catalogue.sites.models import Permission
from catalogue.specimens.models import Wish
from tests import factories as make
from tests.care.makers import bath, crusted, soak, tool, tub
from tests.photos.drawn import jpeg

# Models whose history has no page of its own, each with the reason.
WITHOUT_PAGE = {
    "photos.ShelfSession": "a way of recording: what it made are finds, which have theirs",
}
# Records without a history, each with the reason.
ONCE = "is written once and never edited: it is itself what happened"
WITH_WHOLE = "goes with its whole: written anew with it each time"
WITHOUT_HISTORY = {
    "giving.PieceRequest": "erasing leaves nothing of what a visitor wrote",
    "giving.Departure": ONCE,
    "people.Person": "erasing a person leaves nothing of what was written of them",
    "specimens.Move": ONCE,
    "specimens.ShelfCheck": "a walk round, written as it goes; what it found is told on its own page",
    "specimens.TwinGroup": "has no words; who is in it stands in the history of each find",
    "specimens.SavedView": "a way of looking, no fact",
    "care.ToolUse": ONCE,
    "care.HazardReason": ONCE,
    "care.BathLoad": ONCE,
    "care.BathLook": ONCE,
    "care.SoakReading": "a figure that was read; a wrong one goes into the bin and is read again",
    "care.VesselMark": WITH_WHOLE,
    "care.Damage": WITH_WHOLE,
    "care.BenchPhoto": "an original with no words of its own",
}


def with_history() -> list[type[Record]]:
    return [model for model in apps.get_models() if hasattr(model, "history")]


def test_every_record_has_a_history_or_a_reason_for_none() -> None:
    without = {
        m._meta.label for m in apps.get_models() if issubclass(m, Record) and not hasattr(m, "history")
    }
    assert without == set(WITHOUT_HISTORY)
    assert len(with_history()) > 25


def test_every_history_is_told_on_a_page() -> None:
    parts = {part.model for kind in HISTORY_KINDS.values() for part in kind.parts}
    told = parts | {kind.model for kind in HISTORY_KINDS.values()}
    untold = {model._meta.label for model in with_history() if model not in told}
    assert untold == set(WITHOUT_PAGE)


@pytest.mark.parametrize("kind", HISTORY_KINDS.values(), ids=lambda kind: kind.key)
def test_each_field_that_is_told_has_a_name_of_the_screen(kind) -> None:
    """A name that Django made of the column's own is one only where it is a plain word."""
    columns = told_columns(kind.model, kind.derived)
    columns += [
        column
        for part in kind.parts
        if part.words is None
        for column in told_columns(part.model, frozenset({part.column}))
    ]
    assert len(columns) > 2
    for column in columns:
        made = str(column.verbose_name) == column.name.replace("_", " ")
        plain = "_" not in column.name
        assert not made or plain or column.name in SCREEN_NAMES, f"{kind.key}: {column.name}"


def test_columns_that_are_named_are_columns() -> None:
    for kind in HISTORY_KINDS.values():
        names = {field.name for field in kind.model._meta.concrete_fields}
        assert kind.derived | (kind.stays or frozenset()) <= names, kind.key


@pytest.fixture
def pages(db, data_folder) -> dict[str, tuple[object, str]]:
    """A record of each kind, and the page that shows it."""
    site = make.site("Whelk Bank")
    dive, place, find = make.dive(site), make.place("Hall case"), crusted("Jar")
    permission = Permission.objects.create(site=site, basis="owner")
    maker, town = make.keep_maker(make.Maker(name="Ebb Glass")), make.town()
    wish = Wish.objects.create(what="the half pint")
    photo = take_in(jpeg(width=300, height=200), subject=find)
    report = ConditionReport.objects.create(find=find, on=dive.date, grade="sound")
    treatment = Treatment.objects.create(find=find, method="soak", begun=find.created)
    vessel, brush, acid = tub(), tool(), bath(find)
    water = start_soak(soak(), [crusted("Flask")])
    shown = {
        "find": find,
        "dive": dive,
        "site": site,
        "place": place,
        "town": town,
        "maker": maker,
        "bottler": make.bottler(),
        "product": make.product(),
    }
    return {key: (record, record.get_absolute_url()) for key, record in shown.items()} | {
        "permission": (permission, reverse("dives:permission_edit", args=[site.slug, permission.pk])),
        "wish": (wish, reverse("still_looking_for:wish", args=[wish.pk])),
        "picture": (photo, reverse("photos:words", args=[photo.pk])),
        "tool": (brush, reverse("workbench:tool", args=[brush.pk])),
        "vessel": (vessel, reverse("workbench:vessel", args=[vessel.pk])),
        "condition": (report, reverse("workbench:condition_change", args=[find.number, report.pk])),
        "treatment": (treatment, reverse("workbench:treatment_change", args=[find.number, treatment.pk])),
        "bath": (acid, reverse("workbench:bath", args=[acid.pk])),
        "soak": (water, reverse("workbench:soak", args=[water.pk])),
    }


@pytest.mark.parametrize("key", HISTORY_KINDS)
def test_its_page_leads_to_its_history_which_opens(key: str, pages, owner_client) -> None:
    record, address = pages[key]
    page = owner_client.get(address)
    assert page.status_code == 200, address
    assert f'href="{history_address(record)}">Who changed what</a>' in page.content.decode()
    told = owner_client.get(history_address(record))
    assert told.status_code == 200 and "Recorded" in told.content.decode()
    assert history_kind_of(record) is HISTORY_KINDS[key]


@pytest.mark.parametrize("key", [key for key in HISTORY_KINDS if key in BIN_KINDS])
def test_the_bin_is_offered_on_its_page(key: str, pages, owner_client) -> None:
    record, address = pages[key]
    page = owner_client.get(address).content.decode()
    ways = (f"/bin/{key}/{record.pk}/", f"{record.pk}/away/", "/bin/")
    forms = re.findall(r'<form[^>]*method="post"[^>]*action="([^"]+)"', page)
    assert any(way in form for form in forms for way in ways), forms


def test_every_kind_of_the_bin_is_walked_or_has_its_reason() -> None:
    elsewhere = {
        "reading": "beside the reading (soak_reading.html)",
        "person": "a person is erased, or binned, on their page (tests/pages/people)",
        "view": "in the list of views",
        "shelf": "on its page (shelf.html)",
        "check": "on its page (check/walk.html, check/result.html)",
    }
    assert set(BIN_KINDS) - set(HISTORY_KINDS) == set(elsewhere)
    assert Photo in {kind.model for kind in HISTORY_KINDS.values()}

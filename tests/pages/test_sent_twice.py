"""Idempotency key: a second tap, and the same form sent by two at once, make no second row."""

import datetime
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client

from catalogue.care.models import (
    Bath,
    BathLook,
    Check,
    ConditionReport,
    Soak,
    SoakReading,
    Tool,
    ToolUse,
    Treatment,
    Vessel,
)
from catalogue.care.services import start_load, start_soak
from catalogue.common.forms import idempotency_key
from catalogue.common.models import KeptForm
from catalogue.giving.models import HandOver, Promise
from catalogue.labels.models import TagRun
from catalogue.people.models import Person
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, DiveSeries, Permission, Site
from catalogue.specimens.models import Maker, Move, Opinion, SavedView, Specimen
from tests import factories
from tests.care import makers as bench
from tests.posted import opened


@dataclass(frozen=True, slots=True)
class Making:
    """A form that makes a row: the page it stands on, its action, what is typed, and the row's model."""

    page: str
    typed: dict[str, Any]
    rows: Any
    action: str = ""


def site_page(path: str = "") -> str:
    return factories.site().get_absolute_url() + path


def find_page(**given: Any) -> str:
    return factories.find(dive=factories.dive(), **given).get_absolute_url()


def soak_page() -> str:
    return f"/workbench/soaks/{start_soak(bench.soak(), [factories.find()]).pk}/"


def running_bath() -> str:
    bath = bench.bath(bench.crusted())
    start_load(bath, look_from=timedelta(hours=1), look_to=timedelta(hours=2))
    return f"/workbench/baths/{bath.pk}/"


def waiting_find() -> str:
    factories.find("Unread bottle")
    return "/finds/next/"


MAKING: dict[str, Callable[[], Making]] = {
    "dive": lambda: Making(
        "/dives/new/", {"site": factories.site().pk, "date": "2024-06-01"}, Dive.everything
    ),
    "site": lambda: Making("/dives/sites/new/", {"name": "Gull Reef"}, Site.everything),
    "permission": lambda: Making(
        site_page("permission/"), {"basis": "owner", "authority": "Harbour"}, Permission.everything
    ),
    "person": lambda: Making("/people/new/", {"name": "Ansel Quick"}, Person.everything),
    "place": lambda: Making("/shelves/new/", {"name": "Hall case"}, Place.everything),
    "find": lambda: Making("/finds/new/", {"what": "Soda bottle", "act": "save"}, Specimen.everything),
    "many finds": lambda: Making(
        "/finds/typed/", {"row-0-what": "Soda bottle", "act": "save"}, Specimen.everything
    ),
    "part": lambda: Making(find_page(), {"what": "stopper"}, Specimen.everything, "/part/"),
    "opinion": lambda: Making(
        find_page(), {"about": "made", "value": "1901", "on": "2024-06-02"}, Opinion.everything, "/opinion/"
    ),
    "move": lambda: Making(find_page(), {"place": factories.place().pk}, Move.objects, "/move/"),
    "condition": lambda: Making(
        find_page(), {"grade": "sound", "on": "2024-06-02"}, ConditionReport.everything, "/condition/"
    ),
    "condition by parts": lambda: Making(
        find_page().replace("/finds/", "/workbench/") + "condition/parts/",
        {"on": "2024-06-02"},
        ConditionReport.everything,
    ),
    "treatment": lambda: Making(
        find_page(), {"method": "detail", "begun": "2024-06-02T10:00"}, Treatment.everything, "/treatment/"
    ),
    "promise": lambda: Making(
        find_page().replace("/finds/", "/giving/") + "promise/",
        {"person": "Bram Tolley"},
        Promise.objects,
    ),
    "hand-over": lambda: Making(
        find_page().replace("/finds/", "/giving/") + "hand-over/",
        {"person": "Bram Tolley", "told": "on"},
        HandOver.objects,
    ),
    "tool": lambda: Making("/workbench/kit/new/", {"name": "Soft brush"}, Tool.everything),
    "vessel": lambda: Making(
        "/workbench/vessels/new/",
        {"name": "Pail", "outline": "round", "top_mm": "300", "bottom_mm": "260", "height_mm": "300"},
        Vessel.everything,
    ),
    "soak": lambda: Making("/workbench/soaks/new/", {"name": "Crate"}, Soak.everything),
    "soak reading": lambda: Making(soak_page(), {"value": "444"}, SoakReading.everything),
    "bath": lambda: Making(
        "/workbench/baths/new/",
        {"vessel": bench.tub().pk, "strength_label": "31.45 %"},
        Bath.everything,
    ),
    "bath look": lambda: Making(running_bath(), {"again": "15"}, BathLook.objects, "/look/"),
    "look for acid": lambda: Making(
        find_page().replace("/finds/", "/workbench/"), {"nothing": "yes"}, Check.objects, "/look/"
    ),
    "tool use": lambda: Making(
        find_page().replace("/finds/", "/workbench/") + "clean/",
        {"worked": f"{bench.tool().pk}-yes"},
        ToolUse.everything,
        "/use/",
    ),
    "maker": lambda: Making(
        "/makers/new/", {"name": "Tern & Hollis", "marks-0-letters": "TH"}, Maker.everything
    ),
    "field tags": lambda: Making("/labels/tags/", {"sheets": "1"}, TagRun.objects),
    "saved view": lambda: Making(
        "/finds/?stage=wet", {"name": "Still wet"}, SavedView.everything, "/finds/views/"
    ),
    "identified": lambda: Making(waiting_find(), {"notes": "x", "act": "save"}, Specimen.history),
    "story": lambda: Making(find_page(), {"story": "It lay deep."}, Specimen.history, "/story/"),
}


@pytest.fixture(params=MAKING)
def making(request: pytest.FixtureRequest, db: None) -> Making:
    return MAKING[request.param]()


def test_a_second_tap_makes_no_second_row(owner_client: Client, making: Making) -> None:
    address, values = opened(owner_client, making.page, making.action, **making.typed)
    before = making.rows.count()
    first = owner_client.post(address, values)
    made = making.rows.count()
    assert first.status_code == 302 and made > before, first.content.decode()
    second = owner_client.post(address, values)
    assert (second.status_code, second["Location"]) == (302, first["Location"])
    assert making.rows.count() == made


@pytest.mark.django_db
class TestTheKey:
    def values(self, client: Client, **typed: str) -> dict[str, Any]:
        site = Site.objects.first() or factories.site()
        return opened(client, "/dives/new/", site=site.pk, date="2024-06-01", **typed)[1]

    def test_the_second_is_told(self, owner_client: Client) -> None:
        values = self.values(owner_client)
        owner_client.post("/dives/new/", values)
        answer = owner_client.post("/dives/new/", values, follow=True)
        assert idempotency_key.NOTHING_TWICE in answer.content.decode()

    def test_no_ordinal_is_burnt(self, owner_client: Client) -> None:
        values = self.values(owner_client)
        for _ in range(3):
            owner_client.post("/dives/new/", values)
        assert DiveSeries.objects.get(year=2024).last == 1

    def test_other_words_under_the_same_key_are_asked_about_and_not_lost(self, owner_client: Client) -> None:
        values = self.values(owner_client, notes="the first")
        owner_client.post("/dives/new/", values)
        answer = owner_client.post("/dives/new/", values | {"notes": "the second"})
        page = answer.content.decode()
        assert answer.status_code == 422 and idempotency_key.KEPT_OTHERWISE in page and "the second" in page
        again = dict(values, notes="the second", once=shown_key(page))
        assert owner_client.post("/dives/new/", again).status_code == 302
        assert set(Dive.objects.values_list("notes", flat=True)) == {"the first", "the second"}

    def test_a_form_that_was_refused_burns_no_key(self, owner_client: Client) -> None:
        values = self.values(owner_client)
        assert owner_client.post("/dives/new/", values | {"date": "yesterday"}).status_code == 422
        assert owner_client.post("/dives/new/", values).status_code == 302
        assert Dive.objects.count() == 1

    def test_a_page_from_before_the_key_is_kept(self, owner_client: Client) -> None:
        values = self.values(owner_client)
        del values["once"]
        assert owner_client.post("/dives/new/", values).status_code == 302
        assert Dive.objects.count() == 1 and not KeptForm.objects.exists()

    def test_every_page_shown_has_a_key_of_its_own(self, owner_client: Client) -> None:
        keys = {shown_key(owner_client.get("/dives/new/").content.decode()) for _ in range(3)}
        assert len(keys) == 3 and "" not in keys

    def test_old_keys_are_dropped(self, owner_client: Client) -> None:
        owner_client.post("/dives/new/", self.values(owner_client))
        KeptForm.objects.update(at=datetime.datetime(2001, 1, 1, tzinfo=datetime.UTC))
        owner_client.post("/dives/new/", self.values(owner_client))
        assert KeptForm.objects.count() == 1

    @pytest.mark.parametrize("key", ["x" * 41, ""])
    def test_a_key_that_is_none_of_ours_is_no_key(self, owner_client: Client, key: str) -> None:
        values = self.values(owner_client) | {"once": key}
        assert owner_client.post("/dives/new/", values).status_code == 302
        assert not KeptForm.objects.exists()


def shown_key(page: str) -> str:
    return page.split('name="once" value="', 1)[1].split('"', 1)[0]


def test_ten_sendings_at_once_make_one(at_once: Callable[..., list[Any]], browser: Client) -> None:
    address, values = opened(browser, "/dives/new/", site=factories.site().pk, date="2024-06-01")
    answers = at_once(*[(address, values)] * 10)
    assert {(answer.status_code, answer["Location"]) for answer in answers} == {(302, "/dives/2024/1/")}
    assert Dive.everything.count() == 1 and DiveSeries.objects.get().last == 1


def test_two_at_once_on_one_name_are_answered_in_a_sentence(
    at_once: Callable[..., list[Any]], browser: Client
) -> None:
    two = [opened(browser, "/dives/sites/new/", name="Gull Reef", notes=word)[1] for word in ("one", "two")]
    answers = at_once(*[("/dives/sites/new/", sent) for sent in two])
    assert sorted(answer.status_code for answer in answers) == [302, 422]
    refused = next(n for n, answer in enumerate(answers) if answer.status_code == 422)
    page = answers[refused].content.decode()
    assert "There is already a site of that name." in page and two[refused]["notes"] in page


def test_what_the_database_alone_refuses_is_said_with_the_words_kept(
    owner_client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As where a form could not see what another wrote: the check is left out, the database refuses."""
    factories.site("Gull Reef")
    monkeypatch.setattr(Site, "validate_constraints", lambda self, exclude: None)
    values = opened(owner_client, "/dives/sites/new/", name="Gull Reef", notes="mine")[1]
    answer = owner_client.post("/dives/sites/new/", values)
    page = answer.content.decode()
    assert answer.status_code == 422 and idempotency_key.TAKEN_MEANWHILE in page and "mine" in page
    assert Site.objects.count() == 1

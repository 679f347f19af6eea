"""Text that no form reads is taken whole, or refused with all that was typed; nothing is cut unsaid."""

import re

import pytest
from django.test import Client

from catalogue.care.models import Check, HazardReason
from catalogue.care.services import start_load
from catalogue.environment import resource_folder
from catalogue.specimens.models import Move
from tests import factories
from tests.care.makers import bath, crusted

pytestmark = pytest.mark.django_db
# Questions that keep nothing, asked by fields that aren't of the kind "search"; and the tags of a card, which
# is kept while it is typed.
QUESTIONS = {
    "pages/dives/card/group.html",
    "pages/dives/card/ticked.html",
    "pages/date/form.html",
    "pages/finds/list/span.html",
    "pages/makers/form/form.html",
    "pages/makers/read/read.html",
}


def test_a_long_look_is_refused_with_its_words(owner_client: Client) -> None:
    find, long = crusted(), "lead foil " * 1_001
    before = Check.objects.count()
    answer = owner_client.post(f"/workbench/{find.number}/look/", {"nothing": "1", "note": long})
    page = answer.content.decode()
    assert answer.status_code == 400 and Check.objects.count() == before
    assert "Note: 10,009 letters are too many, 10,000 go in. Nothing was saved." in page
    assert long.strip() in page


def test_a_look_of_two_thousand_letters_is_kept_whole(owner_client: Client) -> None:
    find, long = crusted(), ("lead foil " * 200).strip()
    owner_client.post(f"/workbench/{find.number}/look/", {"nothing": "1", "note": long})
    assert Check.objects.latest("at").note == long


def test_a_long_reason_is_refused_with_its_words(owner_client: Client) -> None:
    find = crusted(found=("unknown_contents",))
    sent = {"person": "Ola", "on": "2026-05-01", "hazard-reason": "emptied and rinsed " * 600}
    answer = owner_client.post(f"/giving/{find.number}/promise/", sent)
    assert answer.status_code == 400 and not HazardReason.objects.exists()
    page = answer.content.decode()
    assert "11,399 letters are too many" in page and sent["hazard-reason"].strip() in page


def test_a_long_why_leaves_the_pieces_where_they_are(owner_client: Client) -> None:
    place, find, why = factories.place(), crusted(), "sorted anew " * 20
    moved = Move.objects.count()
    answer = owner_client.post(f"/shelves/{place.pk}/put/", {"numbers": find.number, "why": why})
    page = answer.content.decode()
    assert answer.status_code == 422 and Move.objects.count() == moved
    assert "Nothing was moved. Why: 239 letters are too many, 200 go in." in page and why in page


def test_a_piece_comes_out_with_a_long_note_whose_rest_is_said(owner_client: Client) -> None:
    load = start_load(bath(crusted()))
    member = load.members.get()
    here = f"/workbench/baths/{load.bath_id}/"
    note = "the lip is rough " * 12 + "and chipped"
    page = owner_client.post(f"{here}out/{member.pk}/", {"outcome": "some", "note": note}, follow=True)
    member.refresh_from_db()
    assert member.out_at and member.note == note[:200].strip()
    assert f"This did not go in: “{note[200:].strip()}”." in page.content.decode()


def test_no_field_that_is_kept_is_cut_by_the_browser() -> None:
    """`maxlength` cuts what is pasted without a word; it stands where words are looked for."""
    found = {
        path.relative_to(resource_folder("templates")).as_posix()
        for path in resource_folder("templates").rglob("*.html")
        for tag in re.findall(r"<(?:input|textarea)[^>]*maxlength[^>]*>", path.read_text())
        if 'type="search"' not in tag
    }
    assert found == QUESTIONS

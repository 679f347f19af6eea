"""Who changed what, field by field; an earlier state brought back; edits undone from their notice."""

import re
from datetime import timedelta

import pytest

from catalogue.access.models import OneTimeKey
from catalogue.access.services import make_key
from catalogue.common.history_entries import hand_of, reason_of, with_hand
from catalogue.pages.parts.history import history_changes
from catalogue.pages.parts.history_kinds import HISTORY_KINDS
from catalogue.shelves.models import Place
from catalogue.sites.models import Site
from catalogue.specimens.models import Bottler, Town
from tests import factories as make
from tests.posted import forms_in

pytestmark = pytest.mark.django_db
UNDO = re.compile(r'action="(/history/[^"]+/undo/[^"]+)"')


def apart(record) -> None:
    """Make each entry so far an hour older, so that the next is a change of its own."""
    for entry in record.history.all():
        type(record).history.filter(history_id=entry.history_id).update(
            history_date=entry.history_date - timedelta(hours=1)
        )


def edited(record, **values):
    apart(record)
    for name, value in values.items():
        setattr(record, name, value)
    record.save()
    return record


def history_of_kind(key: str, record) -> str:
    return f"/history/{key}/{record.pk}/"


def back(client, key: str, record, entry) -> tuple[str, dict]:
    """The preview's page and the values of its form."""
    page = client.get(f"{history_of_kind(key, record)}{entry.history_id}/").content.decode()
    return page, next(values for said, values in forms_in(page) if "version" in values)


def test_a_save_of_several_fields_is_one_change_in_words(owner_client) -> None:
    town = make.town("Marrowby")
    edited(town, name="Marrowby Cross", notes="By the sound.")
    changes = history_changes(HISTORY_KINDS["town"], town.pk)
    assert [len(change.fields) for change in changes] == [2, 0]
    assert [(each.name, each.was, each.now) for each in changes[0].fields] == [
        ("Name", "Marrowby", "Marrowby Cross"),
        ("Notes", "nothing", "By the sound."),
    ]
    assert changes[1].said == ["Recorded"]
    page = owner_client.get(history_of_kind("town", town)).content.decode()
    assert "<dt>Name</dt>" in page and "key" not in page.lower().split("<main")[1].split("</main")[0]


def test_who_did_it_is_said(owner_client) -> None:
    town = make.town("Marrowby")
    apart(town)
    owner_client.post(f"/towns/{town.slug}/notes/", {"notes": "By the sound."})
    first, last = history_changes(HISTORY_KINDS["town"], town.pk)[::-1]
    assert (first.who, last.who) == ("The catalogue", "You")


def test_a_paired_phone_is_named(client) -> None:
    """As the settings' list of who is let in names it; its words stay where it is signed out later."""
    town = make.town("Marrowby")
    apart(town)
    key = make_key(OneTimeKey.Opens.PHONE)
    agent = "Mozilla/5.0 (Linux; Android 14) AppleWebKit/537.36 Chrome/131.0 Mobile Safari/537.36"
    phone = {"REMOTE_ADDR": "192.168.1.9", "HTTP_USER_AGENT": agent}
    client.post(f"/enter/{key}/", **phone)
    client.get(f"/enter/{key}/", **phone)
    client.post(f"/towns/{town.slug}/notes/", {"notes": "By the sound."}, **phone)
    assert history_changes(HISTORY_KINDS["town"], town.pk)[0].who == "Chrome on an Android phone"
    assert "Chrome on an Android phone" in client.get("/settings/", **phone).content.decode()
    assert town.history.latest().history_change_reason == with_hand(None, "Chrome on an Android phone")


def test_the_machine_itself_is_you(client) -> None:
    town = make.town("Marrowby")
    key = make_key(OneTimeKey.Opens.OWNER)
    client.get(f"/enter/{key}/")
    client.post(f"/towns/{town.slug}/notes/", {"notes": "By the sound."})
    assert town.history.latest().history_change_reason in (None, "")
    assert history_changes(HISTORY_KINDS["town"], town.pk)[0].who == "You"


def test_the_hand_stands_beside_the_reason() -> None:
    kept = with_hand("undone", "Firefox on Linux")
    assert (reason_of(kept), hand_of(kept)) == ("undone", "Firefox on Linux")
    assert (reason_of("undone"), hand_of("undone"), hand_of(None)) == ("undone", "", "")
    assert with_hand(None, "") is None


def test_links_choices_and_the_bin_are_told_as_a_person_would(owner_client) -> None:
    first, second = make.town("Marrowby"), make.town("Inchgate")
    bottler = make.bottler(town=first)
    edited(bottler, town=second, years_certainty="doubtful")
    apart(bottler)
    bottler.put_in_bin()
    change = history_changes(HISTORY_KINDS["bottler"], bottler.pk)
    assert change[0].said == ["Put in the bin"]
    told = {each.name: (each.was, each.now) for each in change[1].fields}
    assert told["Town"][0].startswith("Marrowby") and told["Town"][1].startswith("Inchgate")
    assert told["How sure"][1] == "doubtful"


def test_going_back_shows_first_does_it_and_is_undone(owner_client) -> None:
    town = make.town("Marrowby", notes="Old")
    entry = town.history.latest()
    edited(town, name="Marrowby Cross", notes="New")
    page, values = back(owner_client, "town", town, entry)
    assert "<del>Marrowby Cross</del>" in page and "<del>New</del>" in page
    assert Town.objects.get().name == "Marrowby Cross"
    after = owner_client.post(f"{history_of_kind('town', town)}{entry.history_id}/", values, follow=True)
    assert (Town.objects.get().name, Town.objects.get().notes) == ("Marrowby", "Old")
    undo = UNDO.search(after.content.decode())
    assert undo
    owner_client.post(undo[1])
    assert (Town.objects.get().name, Town.objects.get().notes) == ("Marrowby Cross", "New")


def test_what_was_changed_since_the_preview_is_not_overwritten(owner_client) -> None:
    town = make.town("Marrowby")
    entry = town.history.latest()
    edited(town, name="Marrowby Cross")
    _, values = back(owner_client, "town", town, entry)
    edited(town, notes="Written meanwhile")
    answer = owner_client.post(f"{history_of_kind('town', town)}{entry.history_id}/", values)
    assert answer.status_code == 422 and "changed since this page was opened" in answer.content.decode()
    assert Town.objects.get().name == "Marrowby Cross"


def test_a_name_that_was_taken_since_is_said(owner_client) -> None:
    place = make.place("Hall case")
    entry = place.history.latest()
    edited(place, name="Cellar")
    make.place("Hall case")
    _, values = back(owner_client, "place", place, entry)
    answer = owner_client.post(f"{history_of_kind('place', place)}{entry.history_id}/", values)
    words = "You have another place of the name Hall case by now: rename that one first."
    assert answer.status_code == 422 and words in answer.content.decode()
    assert Place.objects.get(pk=place.pk).name == "Cellar"


def test_a_place_goes_back_into_none_of_its_own_parts(owner_client) -> None:
    case, shelf = make.place("Case"), make.place("Shelf")
    edited(case, parent=shelf)
    entry = case.history.latest()
    edited(case, parent=None)
    edited(shelf, parent=case)
    _, values = back(owner_client, "place", case, entry)
    answer = owner_client.post(f"{history_of_kind('place', case)}{entry.history_id}/", values)
    assert answer.status_code == 422 and "would make a ring" in answer.content.decode()


def test_a_link_into_the_bin_or_to_what_is_gone_stays_as_it_is(owner_client) -> None:
    first, second = make.town("Marrowby"), make.town("Inchgate")
    bottler = make.bottler(town=first)
    entry = bottler.history.latest()
    edited(bottler, town=second, notes="New")
    first.put_in_bin()
    page, values = back(owner_client, "bottler", bottler, entry)
    assert "is in the bin; take that out first" in page
    first.delete()
    page, values = back(owner_client, "bottler", bottler, entry)
    assert "is gone for good" in page
    owner_client.post(f"{history_of_kind('bottler', bottler)}{entry.history_id}/", values)
    bottler = Bottler.objects.get(pk=bottler.pk)
    assert (bottler.town, bottler.notes) == (second, "")


def test_what_lies_in_the_bin_is_not_changed(owner_client) -> None:
    town = make.town("Marrowby")
    entry = town.history.latest()
    edited(town, name="Other")
    _, values = back(owner_client, "town", town, entry)
    town.put_in_bin()
    answer = owner_client.post(f"{history_of_kind('town', town)}{entry.history_id}/", values)
    assert answer.status_code == 422 and "take it out first" in answer.content.decode()


def test_who_may_see_a_site_and_a_hold_that_was_cleared_do_not_go_back(owner_client) -> None:
    site = make.site("Tallow Cove", show_as="exact", wreck="yes")
    entry = site.history.latest()
    edited(site, show_as="hidden", name="Lantern Cove")
    page, values = back(owner_client, "site", site, entry)
    assert "<del>hidden</del>" not in page
    owner_client.post(f"{history_of_kind('site', site)}{entry.history_id}/", values)
    site = Site.objects.get()
    assert (site.name, site.show_as) == ("Tallow Cove", "hidden")


def test_a_wreck_that_is_noted_again_sets_a_hold_again(owner_client) -> None:
    site = make.site("Tallow Cove", wreck="yes")
    entry = site.history.latest()
    edited(site, wreck="no")
    edited(site, hold_cleared_reason="It was a barge, since raised.")
    _, values = back(owner_client, "site", site, entry)
    owner_client.post(f"{history_of_kind('site', site)}{entry.history_id}/", values)
    assert Site.objects.get().holds


def test_an_edit_is_undone_from_its_notice_and_not_twice(owner_client) -> None:
    town = make.town("Marrowby", notes="Old")
    said = owner_client.post(f"/towns/{town.slug}/notes/", {"notes": "New"}, follow=True)
    undo = UNDO.search(said.content.decode())
    assert undo and Town.objects.get().notes == "New"
    assert "as it was before" in owner_client.post(undo[1], follow=True).content.decode()
    assert Town.objects.get().notes == "Old"
    edited(town, notes="Newer")
    assert "changed again since" in owner_client.post(undo[1], follow=True).content.decode()
    assert Town.objects.get().notes == "Newer"


def test_an_edit_that_changes_nothing_offers_no_undo(owner_client) -> None:
    town = make.town("Marrowby", notes="Old")
    said = owner_client.post(f"/towns/{town.slug}/notes/", {"notes": "Old"}, follow=True)
    assert not UNDO.search(said.content.decode()) or Town.objects.get().notes == "Old"


@pytest.mark.parametrize("address", ["/history/town/999/", "/history/people/1/", "/history/town/1/999/"])
def test_what_is_not_there_is_not_found(owner_client, address: str) -> None:
    assert owner_client.get(address).status_code == 404


def test_a_bath_tells_what_was_done_and_brings_nothing_back(owner_client) -> None:
    from tests.care.makers import bath, crusted

    acid = bath(crusted("Jar"))
    page = owner_client.get(history_of_kind("bath", acid)).content.decode()
    assert "no earlier state of it is brought back" in page and "Back to how it was then" not in page
    entry = acid.history.latest().history_id
    assert (
        "Nothing that can go back differs"
        in owner_client.get(f"{history_of_kind('bath', acid)}{entry}/").content.decode()
    )


def test_undo_of_a_sites_edit_takes_back_who_may_see_it_too(owner_client) -> None:
    site = make.site("Tallow Cove", show_as="hidden")
    address = f"{site.get_absolute_url()}edit/"
    (values,) = [v for _, v in forms_in(owner_client.get(address).content.decode()) if "show_as" in v]
    said = owner_client.post(address, {**values, "show_as": "exact", "notes": "Silt."}, follow=True)
    undo = UNDO.search(said.content.decode())
    assert undo and Site.objects.get().show_as == "exact"
    owner_client.post(undo[1])
    assert (Site.objects.get().show_as, Site.objects.get().notes) == ("hidden", "")

"""Looks answered where they are asked, and small acts of a find's page undone from their notice."""

import re
from html import unescape

import pytest
from django.test import Client

import dating
from catalogue.care.services import note_look
from catalogue.specimens.models import Opinion, Specimen
from catalogue.specimens.services import Parts, give_opinion, move_to
from dating.tables import LIP_SHAPES
from tests import factories as make
from tests.posted import forms_in, opened

pytestmark = pytest.mark.django_db


@pytest.fixture
def find() -> Specimen:
    return make.find("Green bottle")


def features(find: Specimen) -> dict[str, str]:
    return dict(find.features.values_list("feature", "certainty"))


def said(page: str) -> str:
    """What the page answers last in its messages."""
    found = re.findall(r'<div class="message[^>]*><p>(.*?)</p>', page, re.DOTALL)
    return unescape(found[-1]) if found else ""


def answer(client: Client, find: Specimen, feature: str, query: str = "", **typed: str) -> str:
    """Tap an answer on the find's page; the page that it leads to."""
    address, data = opened(client, f"/finds/{find.number}/{query}", "/seen/", feature=feature, **typed)
    return client.post(address, data, follow=True).content.decode()


def undo(client: Client, page: str) -> str:
    """Press Undo in the notice."""
    forms = [form for form in forms_in(page) if "undo/" in form[0].get("action", "")]
    assert forms, "no Undo is offered"
    said, values = forms[0]
    return client.post(said["action"], values, follow=True).content.decode()


def test_a_tap_records_what_is_seen_and_asks_the_next_question(owner_client: Client, find: Specimen) -> None:
    page = owner_client.get(f"/finds/{find.number}/").content.decode()
    assert 'value="tooled-finish"' in page
    page = answer(owner_client, find, "tooled-finish")
    assert features(find) == {"tooled-finish": "certain"}
    assert said(page) == "Recorded: Tooled finish."
    find.refresh_from_db()
    assert find.made_words != "not yet dated" and find.made_words in page
    assert "<b>Look next</b>" in page, "the next question stands there at once"
    assert 'value="applied-finish"' not in page, "the same is not asked again"


def test_it_leads_back_to_the_question_without_script(owner_client: Client, find: Specimen) -> None:
    address, data = opened(owner_client, f"/finds/{find.number}/", "/seen/", feature="tooled-finish")
    sent = owner_client.post(address, data)
    assert (sent.status_code, sent["Location"]) == (302, f"/finds/{find.number}/?look=#why")


def test_of_what_one_is_not_sure_it_says_so(owner_client: Client, find: Specimen) -> None:
    page = answer(owner_client, find, "tooled-finish", unsure="on")
    assert features(find) == {"tooled-finish": "doubtful"}
    assert said(page) == "Recorded: Tooled finish, not sure."


def test_undo_takes_it_back_and_dates_it_anew(owner_client: Client, find: Specimen) -> None:
    page = undo(owner_client, answer(owner_client, find, "tooled-finish"))
    assert said(page) == "Undone: Tooled finish is not recorded."
    find.refresh_from_db()
    assert (features(find), find.made_words) == ({}, "not yet dated")


def test_undo_in_a_second_window_undoes_nothing_of_what_was_changed_since(
    owner_client: Client, find: Specimen
) -> None:
    page = answer(owner_client, find, "tooled-finish")
    find.features.all().delete()
    assert "changed since" in said(undo(owner_client, page))


def test_a_question_answered_meanwhile_is_not_answered_twice(owner_client: Client, find: Specimen) -> None:
    address, data = opened(owner_client, f"/finds/{find.number}/", "/seen/", feature="tooled-finish")
    answer(owner_client, find, "ground-finish")
    page = owner_client.post(address, data, follow=True).content.decode()
    assert features(find) == {"ground-finish": "certain"}
    assert "Nothing was written: Ground finish is on record" in said(page)


def test_how_a_lip_was_made_leaves_its_shape_to_be_asked(owner_client: Client, find: Specimen) -> None:
    answer(owner_client, find, "tooled-finish")
    answer(owner_client, find, "crown-finish", "?look")
    assert set(features(find)) == {"tooled-finish", "crown-finish"}


def test_an_answer_that_is_none_is_refused_where_it_stands(owner_client: Client, find: Specimen) -> None:
    address, data = opened(owner_client, f"/finds/{find.number}/", "/seen/", feature="cork of gold")
    sent = owner_client.post(address, data)
    assert (sent.status_code, features(find)) == (422, {})
    assert "Not saved yet" in sent.content.decode()


def test_what_one_can_not_tell_is_passed_on_and_stays_passed_on(owner_client: Client, find: Specimen) -> None:
    page = owner_client.get(f"/finds/{find.number}/").content.decode()
    first = re.search(r'<button name="feature" value="([^"]+)"', page)[0]
    on = unescape(re.search(r'href="(\?look=[^"]*)#why"[^>]*>None of these', page)[1])
    page = owner_client.get(f"/finds/{find.number}/{on}").content.decode()
    assert first not in page
    assert first not in answer(owner_client, find, "suction-scar", on)


def test_when_all_is_passed_on_it_says_so_and_begins_again(owner_client: Client, find: Specimen) -> None:
    everything = "&".join(f"skip={group}" for group in all_questions())
    page = owner_client.get(f"/finds/{find.number}/?look=&{everything}").content.decode()
    assert "Ask again from the first" in page and "/seen/" not in page


def all_questions() -> list[str]:
    return [*dating.reference().groups, LIP_SHAPES, *dating.reference().features]


def test_nobody_is_asked_to_turn_what_is_to_be_left_alone(owner_client: Client, find: Specimen) -> None:
    note_look(find, ["munition"])
    page = owner_client.get(f"/finds/{find.number}/").content.decode()
    assert "/seen/" not in page and 'id="look-next"' not in page


@pytest.fixture
def coded() -> Specimen:
    """A mark of a maker who dated its ware, nobody having looked beside it."""
    make.brackwater()
    mark = make.reading(symbol="wave", frame="none", arrangement="plain")
    return make.find("Soda bottle", Parts(readings=[mark]))


def beside(client: Client, find: Specimen, **typed: str) -> str:
    address, data = opened(client, f"/finds/{find.number}/?look", "/beside/", **typed)
    return client.post(address, data, follow=True).content.decode()


def test_the_year_beside_a_mark_is_typed_where_it_is_asked(owner_client: Client, coded: Specimen) -> None:
    page = beside(owner_client, coded, characters="7")
    assert coded.readings.get().right == "7"
    assert said(page) == "Recorded: 7 at the right."
    coded.refresh_from_db()
    assert coded.made_words == "one of 1927, 1937, 1947"
    assert said(undo(owner_client, page)).startswith("Undone")
    assert coded.readings.get().right is None


def test_nothing_beside_it_is_an_answer_too(owner_client: Client, coded: Specimen) -> None:
    page = beside(owner_client, coded, nothing="yes")
    mark = coded.readings.get()
    assert (mark.left, mark.right) == (None, "")
    assert said(page) == "Recorded: nothing at the right."
    assert "/beside/" not in page.split('id="messages"')[0], "it is not asked again"


def test_an_empty_answer_is_none(owner_client: Client, coded: Specimen) -> None:
    address, data = opened(owner_client, f"/finds/{coded.number}/?look", "/beside/", characters="")
    sent = owner_client.post(address, data)
    assert sent.status_code == 422
    assert "Write what stands there" in sent.content.decode()
    assert coded.readings.get().right is None


def test_a_mark_changed_meanwhile_is_left_as_it_is(owner_client: Client, coded: Specimen) -> None:
    address, data = opened(owner_client, f"/finds/{coded.number}/?look", "/beside/", characters="7")
    coded.readings.update(right="9")
    page = owner_client.post(address, data, follow=True).content.decode()
    assert "changed meanwhile" in said(page)
    assert coded.readings.get().right == "9"


def test_a_form_sent_twice_records_once(owner_client: Client, find: Specimen) -> None:
    address, data = opened(owner_client, f"/finds/{find.number}/", "/seen/", feature="tooled-finish")
    owner_client.post(address, data)
    page = owner_client.post(address, data, follow=True).content.decode()
    assert "nothing was written twice" in said(page)


@pytest.fixture
def open_mark() -> Specimen:
    """A worn mark that several makers' marks fit."""
    return make.find("Beer bottle", Parts(readings=[make.reading("?H", frame="hexagon")]))


def test_which_one_it_is_is_said_where_it_is_asked(owner_client: Client, open_mark: Specimen) -> None:
    page = owner_client.get(f"/finds/{open_mark.number}/").content.decode()
    assert "Which one is it?" in page
    name = unescape(re.search(r'<button[^>]*name="value" value="([^"]+)"', page)[1])
    address, data = opened(owner_client, f"/finds/{open_mark.number}/", "/opinion/", value=name)
    page = owner_client.post(address, data, follow=True).content.decode()
    held = Opinion.objects.get(current=True)
    assert (held.about, held.value, held.maker.name) == ("maker", name, name)
    assert "Which one is it?" not in page
    undo(owner_client, page)
    assert not Opinion.objects.exists()


def test_undoing_an_opinion_brings_the_one_before_back(owner_client: Client, find: Specimen) -> None:
    first = give_opinion(Opinion(find=find, about="made", value="about 1900", on="2024-05-01"))
    address, data = opened(
        owner_client, f"/finds/{find.number}/", "/opinion/", about="made", value="about 1920"
    )
    page = owner_client.post(address, data, follow=True).content.decode()
    first.refresh_from_db()
    assert not first.current
    undo(owner_client, page)
    assert [opinion.value for opinion in Opinion.objects.filter(current=True)] == ["about 1900"]


def test_an_opinion_withdrawn_by_mistake_is_held_again(owner_client: Client, find: Specimen) -> None:
    held = give_opinion(Opinion(find=find, about="made", value="about 1900", on="2024-05-01"))
    address, data = opened(owner_client, f"/finds/{find.number}/", "/withdraw/")
    page = owner_client.post(address, data, follow=True).content.decode()
    undo_form = next(form for form in forms_in(page) if form[0]["action"].endswith("/hold/"))
    owner_client.post(undo_form[0]["action"], undo_form[1])
    held.refresh_from_db()
    assert held.current
    # another one meanwhile: the withdrawn one stays as it is
    owner_client.post(address, {**data, "once": "another"})
    give_opinion(Opinion(find=find, about="made", value="about 1930", on="2024-05-02"))
    page = owner_client.post(undo_form[0]["action"], {"once": "third"}, follow=True).content.decode()
    assert "Nothing was undone" in said(page)


def test_a_move_is_undone_from_its_notice_unless_it_moved_again(owner_client: Client, find: Specimen) -> None:
    hall, loft = make.place("Hall case"), make.place("Loft")
    address, data = opened(owner_client, f"/finds/{find.number}/", "/move/", place=str(hall.pk))
    page = owner_client.post(address, data, follow=True).content.decode()
    assert said(page) == f"{find.number} is now in Hall case."
    assert said(undo(owner_client, page)) == "Undone."
    find.refresh_from_db()
    assert (find.place, find.moves.count()) == (None, 0)
    page = owner_client.post(address, {**data, "once": "again"}, follow=True).content.decode()
    move_to(find, loft)
    assert "moved again since" in said(undo(owner_client, page))
    find.refresh_from_db()
    assert find.place == loft


def test_to_stay_where_it_is_is_nothing_to_undo(owner_client: Client, find: Specimen) -> None:
    hall = make.place("Hall case")
    move_to(find, hall)
    address, data = opened(owner_client, f"/finds/{find.number}/", "/move/")
    page = owner_client.post(address, data, follow=True).content.decode()
    assert "/undo/" not in page


def test_a_hold_is_answered_from_the_first_screen(owner_client: Client) -> None:
    site = make.site("Heron Ledge", wreck="yes")
    find = make.find("Case bottle", dive=make.dive(site))
    page = owner_client.get(f"/finds/{find.number}/").content.decode()
    first = page[page.index('id="find-top"') : page.index('id="why"')]
    assert f'href="{site.get_absolute_url()}">Open the site' in first

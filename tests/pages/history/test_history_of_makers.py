"""Marks, codes and works of one's own: told in their maker's history, undone, brought back with the years."""

import re

import pytest

from catalogue.common.history_entries import note_history
from catalogue.pages.parts.history import history_changes
from catalogue.pages.parts.history_kinds import HISTORY_KINDS, history_address
from catalogue.specimens.models import Maker, MarkReading, Opinion, OwnCode, OwnMark, Specimen, Works
from catalogue.specimens.services import Parts, give_opinion, withdraw_opinion
from catalogue.specimens.services.makers import keep_maker
from catalogue.specimens.services.merging import merge_records
from tests import factories as make
from tests.pages.history.test_history_pages import UNDO, apart
from tests.posted import forms_in
from tests.specimens.derived_parts import agree

pytestmark = pytest.mark.django_db
BY_SIX = "one of 1926, 1936, 1946"


@pytest.fixture
def maker() -> Maker:
    made = make.brackwater()
    long_ago(made)
    return made


@pytest.fixture
def piece(maker) -> Specimen:
    reading = MarkReading(letters="BW", symbol="wave", frame="none", right="6")
    return make.find("Ginger beer", Parts(readings=[reading]))


def long_ago(maker: Maker) -> None:
    """What is on record so far was written an hour earlier."""
    rows = [*maker.works.all(), *maker.own_marks.all(), *maker.own_codes.all()]
    for row in (maker, *rows):
        apart(row)


def edit_form(client, maker: Maker) -> dict:
    page = client.get(f"/makers/{maker.slug}/edit/").content.decode()
    return next(values for _, values in forms_in(page) if "marks-TOTAL_FORMS" in values)


def edited(client, maker: Maker, **changes: str) -> str:
    """Save the maker's form with these changes; the page that follows."""
    sent = edit_form(client, maker) | {name.replace("__", "-"): value for name, value in changes.items()}
    answer = client.post(f"/makers/{maker.slug}/edit/", sent, follow=True)
    assert answer.status_code == 200 and answer.redirect_chain
    return answer.content.decode()


def undo_in(page: str) -> str:
    found = UNDO.search(page)
    assert found, "no Undo is offered"
    return found[1]


def words_of(find: Specimen) -> str:
    find.refresh_from_db()
    return find.made_words


def test_a_changed_code_is_undone_and_the_years_follow(owner_client, maker, piece):
    said = edited(owner_client, maker, **{"codes-0-valid_to": "1940"})
    assert words_of(piece) == "one of 1926, 1936"
    after = owner_client.post(undo_in(said), follow=True).content.decode()
    assert "is as it was before" in after and "The years of 1 find changed." in after
    assert words_of(piece) == BY_SIX and maker.own_codes.get().valid_to == 1950 and agree()


def test_a_mark_taken_out_comes_back_under_its_key_with_the_pieces(owner_client, maker, piece):
    mark, code = maker.own_marks.get(), maker.own_codes.get()
    code.marks.set([mark])
    long_ago(maker)
    said = edited(owner_client, maker, **{"marks-0-DELETE": "on", "codes-0-DELETE": "on"})
    assert not OwnMark.objects.exists() and words_of(piece) != BY_SIX
    owner_client.post(undo_in(said))
    assert maker.own_marks.get().pk == mark.pk and maker.own_codes.get().pk == code.pk
    assert list(maker.own_codes.get().marks.all()) == [mark]
    piece.refresh_from_db()
    assert (piece.made_words, piece.maker) == (BY_SIX, maker) and agree()


def test_a_mark_that_was_added_goes_again(owner_client, maker, piece):
    sent = edit_form(owner_client, maker)
    sent |= {"marks-TOTAL_FORMS": "2", "marks-1-letters": "BBC", "marks-1-frame": "none"}
    said = owner_client.post(f"/makers/{maker.slug}/edit/", sent, follow=True).content.decode()
    assert maker.own_marks.count() == 2
    owner_client.post(undo_in(said))
    assert [mark.letters for mark in maker.own_marks.all()] == ["BW"]


def test_which_marks_a_code_holds_for_is_told_and_goes_back(owner_client, maker):
    first = maker.own_marks.get()
    keep_maker(maker, marks=[OwnMark(letters="BBC", from_year=1951)])
    long_ago(maker)
    said = edited(owner_client, maker, **{"codes-0-for_marks": "0"})
    assert list(maker.own_codes.get().marks.all()) == [first]
    told = owner_client.get(history_address(maker)).content.decode()
    assert re.search(r"Code [^<]* changed: .*only with these marks: all → ", told)
    owner_client.post(undo_in(said))
    assert not maker.own_codes.get().marks.exists()


def test_an_earlier_state_is_shown_first_then_brought_back_and_undone(owner_client, maker, piece):
    edited(owner_client, maker, **{"marks-0-to_year": "1930", "name": "Brackwater Bottles"})
    first = history_changes(HISTORY_KINDS["maker"], maker.pk)[-1]
    address = f"{history_address(maker)}{first.moment}/"
    page = owner_client.get(address).content.decode()
    assert "<del>Brackwater Bottles</del>" in page and "1930 → 1950" in page
    assert "the years of the pieces follow" in page
    (values,) = [values for _, values in forms_in(page) if "version" in values]
    done = owner_client.post(address, values, follow=True).content.decode()
    maker.refresh_from_db()
    assert (maker.name, maker.own_marks.get().to_year) == ("Brackwater Bottle Company", 1950)
    owner_client.post(undo_in(done))
    maker.refresh_from_db()
    assert (maker.name, maker.own_marks.get().to_year) == ("Brackwater Bottles", 1930)


def test_each_change_says_of_which_mark(owner_client, maker):
    keep_maker(maker, marks=[OwnMark(letters="BBC", from_year=1951)])
    long_ago(maker)
    row = maker.own_marks.get(letters="BBC")
    row.from_year = 1952
    row.save()
    assert history_changes(HISTORY_KINDS["maker"], maker.pk)[0].said == [
        "Mark BBC changed: from the year: 1951 → 1952"
    ]


def test_undo_is_refused_where_a_mark_was_changed_since(owner_client, maker):
    said = edited(owner_client, maker, **{"name": "Brackwater Bottles"})
    mark = maker.own_marks.get()
    mark.note = "Written meanwhile"
    mark.save()
    page = owner_client.post(undo_in(said), follow=True).content.decode()
    assert "changed again since" in page
    maker.refresh_from_db()
    assert (maker.name, maker.own_marks.get().note) == ("Brackwater Bottles", "Written meanwhile")


def test_what_came_by_a_merge_stays(owner_client, maker):
    other = keep_maker(
        Maker(name="BRACKWATER BOTTLE CO"),
        works=[Works(name="Ellarn works")],
        marks=[OwnMark(letters="BWB")],
    )
    first = history_changes(HISTORY_KINDS["maker"], maker.pk)[-1]
    merge_records(maker, other)
    edited(owner_client, maker, **{"notes": "Merged."})
    address = f"{history_address(maker)}{first.moment}/"
    page = owner_client.get(address).content.decode()
    assert "Mark BWB: it came along when another was merged into this" in page
    (values,) = [values for _, values in forms_in(page) if "version" in values]
    owner_client.post(address, values)
    maker.refresh_from_db()
    assert maker.notes == "" and {mark.letters for mark in maker.own_marks.all()} == {"BW", "BWB"}
    assert maker.works.get().name == "Ellarn works"


def test_rows_that_name_what_is_gone_stay_all_of_them_and_say_why(owner_client, maker):
    bottler, code = make.bottler(), maker.own_codes.get()
    code.bottler = bottler
    code.save()
    long_ago(maker)
    sent = {"codes-0-bottler_name": "", "marks-0-to_year": "1930", "name": "Brackwater Bottles"}
    said = edited(owner_client, maker, **sent)
    bottler.put_in_bin()
    page = owner_client.post(undo_in(said), follow=True).content.decode()
    maker.refresh_from_db()
    assert "go back only together" in page and "is in the bin" in page
    assert maker.name == "Brackwater Bottle Company"
    assert (maker.own_codes.get().bottler, maker.own_marks.get().to_year) == (None, 1930)


def test_links_are_kept_where_entries_are_written_in_bulk(maker):
    code, mark = maker.own_codes.get(), maker.own_marks.get()
    code.marks.set([mark])
    note_history(OwnCode, [code.pk])
    entry = code.history.latest()
    assert [row.ownmark_id for row in entry.marks.all()] == [mark.pk]


def test_a_save_that_changes_nothing_offers_no_undo(owner_client, maker):
    assert not UNDO.search(edited(owner_client, maker))


@pytest.fixture
def opinion(maker, piece) -> Opinion:
    """Somebody holds the piece to be from a works of the maker."""
    keep_maker(maker, works=[Works(name="Ellarn works")])
    works = maker.works.get()
    held = Opinion(find=piece, about="works", value="Ellarn works", works=works, on="2024-06-01")
    give_opinion(held)
    long_ago(maker)
    return held


def test_an_opinion_leads_to_its_works_again_when_that_is_undone(owner_client, maker, opinion):
    works = opinion.works
    said = edited(owner_client, maker, **{"works-0-DELETE": "on"})
    opinion.refresh_from_db()
    assert (opinion.value, opinion.works) == ("Ellarn works", None)
    owner_client.post(undo_in(said))
    opinion.refresh_from_db()
    assert maker.works.get() == works and opinion.works == works


def test_an_earlier_opinion_leads_there_again_too(owner_client, maker, opinion):
    works = opinion.works
    said = edited(owner_client, maker, **{"works-0-DELETE": "on"})
    withdraw_opinion(Opinion.objects.get())
    owner_client.post(undo_in(said))
    opinion.refresh_from_db()
    assert opinion.works == works and not opinion.current


def test_an_opinion_that_says_another_works_by_now_is_left(owner_client, maker, opinion):
    said = edited(owner_client, maker, **{"works-0-DELETE": "on"})
    Opinion.objects.update(value="Dunmouth works")
    owner_client.post(undo_in(said))
    opinion.refresh_from_db()
    assert maker.works.exists() and opinion.works is None


def test_going_back_to_a_name_that_another_bears_by_now_is_refused(owner_client, maker):
    said = edited(owner_client, maker, **{"name": "Brackwater Bottles"})
    other = keep_maker(Maker(name="BRACKWATER Bottle Company"))
    page = owner_client.post(undo_in(said), follow=True).content.decode()
    assert "You have another maker of the name BRACKWATER Bottle Company by now" in page
    maker.refresh_from_db()
    assert maker.name == "Brackwater Bottles"
    other.put_in_bin()
    owner_client.post(undo_in(said))
    maker.refresh_from_db()
    assert maker.name == "Brackwater Bottle Company"


@pytest.mark.parametrize("where", ["page", "bin"])
def test_out_of_the_bin_under_a_name_that_another_bears_by_now_is_refused(owner_client, maker, where):
    owner_client.post(f"/makers/{maker.slug}/bin/")
    other = keep_maker(Maker(name=maker.name))
    back = {"page": f"/makers/{maker.slug}/back/", "bin": f"/bin/maker/{maker.pk}/back/"}[where]
    page = owner_client.post(back, follow=True).content.decode()
    assert f"You have another maker of the name {other} by now" in page
    assert list(Maker.objects.own()) == [other]
    other.put_in_bin()
    owner_client.post(back)
    assert list(Maker.objects.own()) == [maker]

"""The owner's page of a find."""

import datetime
import re
from copy import deepcopy

import pytest

import dating
from catalogue.care.models import ConditionReport
from catalogue.sites.models import Permission, Site
from catalogue.specimens.models import KnownYears, ObservedFeature, Specimen
from catalogue.specimens.services import Parts
from tests import factories as make
from tests.pages.untold import untold

from .find_parts import full_find

pytestmark = pytest.mark.django_db


def page(client, find: Specimen, query: str = "") -> str:
    answer = client.get(find.get_absolute_url() + query)
    assert answer.status_code == 200
    return answer.content.decode()


def plain(html: str) -> str:
    """The words of a page without its marks, white space single."""
    return " ".join(re.sub(r"<[^>]+>", " ", untold(html)).split())


@pytest.fixture(scope="module")
def made(module_rows) -> Specimen:
    return module_rows(full_find)


@pytest.fixture
def find(made: Specimen) -> Specimen:
    return deepcopy(made)


def test_it_says_when_it_was_made_and_why(owner_client, find: Specimen) -> None:
    words = plain(page(owner_client, find))
    assert "one of 1926, 1936, 1946" in words
    assert f"{datetime.date.today().year - 1936}" in words
    assert "[1926,1936,1946]" in words
    assert "6 at the right" in words
    assert "Crown cap finish" in words
    assert "Lindsey" in words  # the source of the crown's years
    assert "seen for certain" in words  # why it weighs what it does


def test_the_ruler_has_a_lane_for_each_reason(owner_client, find: Specimen) -> None:
    html = page(owner_client, find)
    lanes = html[html.index('<ul class="lanes">') :].split("</ul>")[0]
    assert lanes.count("<span>") == 3  # the mark, the crown, the aqua glass


def test_the_mark_is_drawn_and_leads_to_its_maker(owner_client, find: Specimen) -> None:
    html = page(owner_client, find)
    assert 'class="mark"' in html
    assert find.maker is not None
    link = f'<a href="{find.maker.get_absolute_url()}"><bdi>Brackwater Bottle Company</bdi></a>'
    assert f"{link}, over 99 % sure" in html


def test_two_readings_each_have_their_makers(owner_client, find: Specimen) -> None:
    maker = find.maker
    readings = [make.reading("BW", symbol="wave", right="6"), make.reading("", right="12", where="heel")]
    html = page(owner_client, make.find("Bottle", Parts(readings=readings)))
    assert html.count('class="mark"') == 2
    link = rf"{maker.get_absolute_url()}\"><bdi>{maker}</bdi></a>"
    assert len(re.findall(rf"{link}, (over )?\d+ % sure", html)) == 2


def test_the_town_is_where_it_sold_not_where_it_was_made(owner_client, find: Specimen) -> None:
    words = plain(page(owner_client, find))
    # 1.4° of latitude and 0.65° of longitude at 45.2° N: 155.7 and 50.9 km, by Pythagoras 163.8
    assert "Marked for Marrowby , 164 km from there" in words
    assert "made in" not in words.lower()


def test_lettering_place_and_provenance_are_shown(owner_client, find: Specimen) -> None:
    words = plain(page(owner_client, find))
    for part in (
        "QUILL &amp; SONS / BREWED [..]",
        "upright in silt",
        "under the ledge",
        "a clay pipe",
        "11 m",
        "241 mm",
        "Hall case",
        "Bench until",
        "Dive 1 of 2025",
        "Private note",
        "It held ginger beer.",
    ):
        assert part in words, part


def test_history_is_one_line_newest_first(owner_client, find: Specimen) -> None:
    html = page(owner_client, find)
    history = html[html.index('<ol class="hist">') :]
    words = plain(history)
    order = ["Promised", "Tumbling", "Fresh-water soak", "Found"]
    assert [words.index(name) for name in order] == sorted(words.index(name) for name in order)
    assert "chip, lip, a trace: 4 mm" in words
    assert "by Orla Finch" in words
    assert "7 days" in words
    assert "Better not done again" in words
    days = re.findall(r'<time datetime="([\d-]+)"', history)
    assert days == sorted(days, reverse=True)


def test_opinions_now_and_before(owner_client, find: Specimen) -> None:
    words = plain(page(owner_client, find))
    assert "The wave decides it." in words
    assert "Before 1" in words
    assert "Somebody else" in words


def test_twins_and_parts_are_linked(owner_client, find: Specimen) -> None:
    html = page(owner_client, find)
    assert 'href="/finds/2025.1.1a/"' in html
    assert "its twin" in html


def test_a_find_without_evidence_says_what_to_look_at(owner_client) -> None:
    words = plain(page(owner_client, make.find("Unmarked bottle", kind="wine")))
    assert "not yet dated" in words
    assert "Nothing on record tells its years yet." in words
    assert "Look at the" in words


def test_what_to_look_at_next_is_worked_out_when_asked(owner_client, find: Specimen) -> None:
    assert "<b>Look next</b>" not in page(owner_client, find)
    assert "<b>Look next</b>" in page(owner_client, find, "?look")


def test_evidence_that_disagrees_says_which_slips_would_mend_it(owner_client) -> None:
    parts = Parts(
        features=[ObservedFeature(feature="crown-finish")],
        known=[KnownYears(what="Cellar filled in", to_year=1850, source="the yard's own plan")],
    )
    words = plain(page(owner_client, make.find("Bottle", parts)))
    assert "the evidence disagrees" in words
    assert "Either Cellar filled in is misread: 1892 on; or Crown cap finish is misread: to 1850." in words
    assert "Crown cap finish; Cellar filled in" in words and "no year fits both" in words


def test_a_mark_that_the_rest_speaks_against_is_said_with_its_if(owner_client) -> None:
    make.brackwater()
    parts = Parts(
        readings=[make.reading("BW", symbol="wave", frame="none", right="6", where="base")],
        known=[KnownYears(what="Cellar filled in", to_year=1850, source="the yard's own plan")],
    )
    words = plain(page(owner_client, make.find("Bottle", parts)))
    assert "it is a piece by" not in words
    assert "If this was read right: what was seen of the piece speaks against it." in words
    assert "Either BW over a wave, 6 at the right is misread" in words  # as the reading itself is told
    assert "On the base: BW over a wave, 6 at the right" in words


@pytest.mark.parametrize("standing", ["handed-over", "returned", "left", "lost"])
def test_nobody_is_asked_to_look_at_what_is_not_here(owner_client, standing: str) -> None:
    words = plain(page(owner_client, make.find("Unmarked bottle", kind="wine", standing=standing)))
    assert "Nothing on record tells its years yet." not in words
    assert "Would help most next" not in words and "What may be done to it" not in words


def test_nobody_is_sent_to_look_at_a_munition(owner_client) -> None:
    find = make.find("Rusted body with fins")
    assert "Would help most next" in plain(page(owner_client, find))
    report = ConditionReport.objects.create(find=find, on=datetime.date(2025, 6, 2), grade="fragile")
    report.damages.create(kind="munition", extent="all", part="whole")
    words = plain(page(owner_client, find))
    assert "Would help most next" not in words
    assert "munition or part of one, all over" in words and "all over, all over" not in words


def test_a_town_beside_the_site_is_not_no_kilometres_away(owner_client) -> None:
    cove = make.site("Quarl Harbour", latitude="44.5", longitude="-67.25")
    town = make.town("Quarl", latitude=44.501, longitude=-67.25)
    words = plain(page(owner_client, make.find("Jar", site=cove, town=town)))
    assert "Marked for" in words and "km from there" not in words


def test_evidence_that_can_not_be_dated_falls_back_on_what_is_stored(
    owner_client, find: Specimen, monkeypatch
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise dating.CaseError("years are out of order", "known[0].to")

    monkeypatch.setattr("catalogue.pages.parts.dated.date_evidence", refuse)
    words = plain(page(owner_client, find))
    assert "one of 1926, 1936, 1946" in words
    assert "What was worked out before is shown." in words


def test_no_answer_on_record_is_a_quiet_caution(owner_client, find: Specimen) -> None:
    assert "No answer on record about taking things from Tallow Cove." in page(owner_client, find)
    Permission.objects.create(site=find.where_found, basis="owner", authority="Velmoor Harbour Trust")
    words = plain(page(owner_client, find))
    assert "No answer on record" not in words
    assert "owner&#x27;s leave, Velmoor Harbour Trust" in words


def test_a_hold_says_what_waits_and_what_stays_open(owner_client, find: Specimen) -> None:
    Site.objects.update(wreck="yes")
    words = plain(page(owner_client, find))
    assert "Acid, tumbling and giving away wait until a person clears it" in words
    assert "Keeping it wet stays open" in words
    Site.objects.update(hold_cleared_reason="The harbour office looked at the plan")
    words = plain(page(owner_client, find))
    assert "On hold." not in words
    assert "The harbour office looked at the plan" in words


def test_words_of_every_script_and_marks_are_shown_as_typed(owner_client) -> None:
    nasty = "<script>alert('x')</script> 🙂 زجاجة"
    find = make.find(nasty, notes=nasty, story=nasty, found_with=nasty, where_on_site=nasty)
    html = page(owner_client, find)
    assert "<script>alert" not in html
    assert html.count("🙂 زجاجة") >= 5
    assert html.count("<h1") == 1


def test_no_id_stands_twice_on_the_page(owner_client, find: Specimen) -> None:
    ids = re.findall(r'\sid="([^"]+)"', page(owner_client, find))
    # gradients of equal drawings are the same on purpose
    own = [each for each in ids if not re.fullmatch(r"d[0-9a-f]{10}", each)]
    assert len(own) == len(set(own)), sorted(each for each in own if own.count(each) > 1)


def test_nothing_on_the_page_is_styled_or_scripted_in_line(owner_client, find: Specimen) -> None:
    html = page(owner_client, find)
    assert not re.search(r"\sstyle=|\son[a-z]+=|<style|<script(?![^>]*src=)", html)


def test_no_such_find(owner_client) -> None:
    assert owner_client.get("/finds/2025.9.9/").status_code == 404


def test_wrong_method(owner_client, find: Specimen) -> None:
    assert owner_client.post(find.get_absolute_url()).status_code == 405


def test_the_short_address_leads_to_the_page(client, owner_client, find: Specimen) -> None:
    for browser in (client, owner_client):
        answer = browser.get(f"/f/{find.number}")
        assert answer.status_code == 302
        assert answer["Location"] == find.get_absolute_url()


def test_the_page_takes_few_queries_however_much_is_on_it(
    owner_client, find: Specimen, django_assert_max_num_queries
) -> None:
    """Session, user; the find; readings, features, lettering, known years, opinions, moves, reports, damages,
    treatments, promises, requests, hand-overs, departures, permissions of its sites; what the tables are
    joined from (4); own marks behind candidates; pictures; twins; parts; own makers; places to move to;
    looks before treatment; what left and came back, by the audit trail; reasons kept for acts; sizes measured
    in pictures; the axis of the catalogue; the address on labels; the units set: 35."""
    with django_assert_max_num_queries(35):
        page(owner_client, find)

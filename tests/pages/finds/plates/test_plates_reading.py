"""Typing what a plate shows into the find's reading."""

import pytest

from catalogue.photos.plates.surfaces import forget
from catalogue.specimens.models import KnownYears, MarkReading, Specimen
from catalogue.specimens.services import Parts, keep_find
from tests import factories as make

from .plates_parts import address, lit_find, rim_query

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("data_folder")]


@pytest.fixture
def lit():
    forget()
    make.brackwater()
    return lit_find((0.0,))


def typed(letters: str = "BW", replaces: str = "new", act: str = "keep", **more: str) -> dict[str, str]:
    said = {"letters": letters, "symbol": "wave", "right": "6", "where": "base", "certainty": "certain"}
    return {"replaces": replaces, "act": act} | {f"read-{k}": v for k, v in (said | more).items()}


def here(lit, **more: str) -> str:
    find, photos = lit
    return address(find, "read/", photos, **rim_query(), **more)


def fresh(find: Specimen) -> Specimen:
    return Specimen.objects.get(pk=find.pk)


def test_kept_it_dates_the_find(owner_client, lit) -> None:
    answer = owner_client.post(here(lit), typed())
    assert answer.status_code == 302
    find = fresh(lit[0])
    reading = find.readings.get()
    assert (reading.letters, reading.symbol, reading.right, reading.left) == ("BW", "wave", "6", None)
    assert find.made_words == "one of 1926, 1936, 1946"
    assert answer["Location"].endswith(f"reading={reading.pk}")
    assert owner_client.get(answer["Location"]).status_code == 200


def test_it_betters_the_reading_on_the_base_and_leaves_the_others(owner_client, lit) -> None:
    find = lit[0]
    rows = [
        make.reading("Q", where="heel"),
        make.reading("B?", where="base"),
        make.reading("LIP", where="lip"),
    ]
    keep_find(find, Parts(readings=rows), fields=[])
    worn = find.readings.get(letters="B?")
    page = owner_client.get(here(lit, reading=str(worn.pk))).content.decode()
    assert f'name="replaces" value="{worn.pk}"' in page
    owner_client.post(here(lit), typed(replaces=str(worn.pk)))
    assert sorted(find.readings.values_list("letters", flat=True)) == ["BW", "LIP", "Q"]


def test_one_changed_meanwhile_is_not_written_over(owner_client, lit) -> None:
    find = lit[0]
    keep_find(find, Parts(readings=[make.reading("B?")]), fields=[])
    seen = find.readings.get().pk
    keep_find(find, Parts(readings=[make.reading("OFG")]), fields=[])
    answer = owner_client.post(here(lit), typed(replaces=str(seen)))
    assert answer.status_code == 409
    assert "changed meanwhile" in answer.content.decode()
    assert find.readings.get().letters == "OFG"


def test_the_reading_of_another_find_stays(owner_client, lit) -> None:
    other = make.find("Ink cone", Parts(readings=[make.reading("OFG")]))
    theirs = other.readings.get()
    answer = owner_client.post(here(lit), typed(replaces=str(theirs.pk)))
    assert answer.status_code == 409
    assert MarkReading.objects.get(pk=theirs.pk).letters == "OFG"
    assert not lit[0].readings.exists()


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        (
            {"letters": "", "symbol": "", "right": ""},
            "Type at least a letter, a frame or a sign that you can make out.",
        ),
        ({"letters": "X" * 10_000}, "60 go in"),
        ({"frame": "cloud"}, "none of the choices"),
        ({"where": "moon"}, "none of the choices"),
        ({"right_none": "on"}, "take one out"),
    ],
)
def test_what_can_t_be_kept_is_said_and_stays_typed(owner_client, lit, wrong, sentence: str) -> None:
    answer = owner_client.post(here(lit), typed(**wrong))
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert not lit[0].readings.exists()


def test_comparing_keeps_nothing(owner_client, lit) -> None:
    answer = owner_client.post(here(lit), typed("B?", act="compare"))
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "Brackwater Bottle Company" in page
    assert "one of 1926, 1936, 1946" in page
    assert not lit[0].readings.exists()


def test_marks_are_ranked_while_it_is_typed(owner_client, lit) -> None:
    find = lit[0]
    answer = owner_client.get(f"/finds/{find.number}/plates/compare/", typed("?W"))
    page = answer.content.decode()
    assert page.strip().startswith('<div id="ranked"')
    first = page.split("<li>")[1]
    assert "Brackwater Bottle Company" in first
    assert "<svg" in first
    assert "letters: BW" in first
    # another letter, another mark in front
    other = owner_client.get(f"/finds/{find.number}/plates/compare/", typed("LG", symbol="", right=""))
    assert "Brackwater" not in other.content.decode().split("<li>")[1]


def test_other_evidence_ranks_with_it(owner_client, lit) -> None:
    find = lit[0]
    asked = f"/finds/{find.number}/plates/compare/"

    def chance() -> float:
        row = next(
            row
            for row in owner_client.get(asked, typed("?W", symbol="", right=""))
            .content.decode()
            .split("<li>")
            if "Brackwater" in row
        )
        return float(row.split('class="quiet">')[1].split("<")[0].removeprefix("over "))

    before = chance()
    keep_find(find, Parts(known=[KnownYears(what="shop open", from_year=1930, to_year=1935)]), fields=[])
    assert chance() > before


@pytest.mark.parametrize("letters", ("<script>alert(1)</script>", "[HN", "بيرة", "🍾", "?" * 60))
def test_odd_letters_are_only_text(owner_client, lit, letters: str) -> None:
    find = lit[0]
    answer = owner_client.get(f"/finds/{find.number}/plates/compare/", typed(letters))
    assert answer.status_code == 200
    assert "<script" not in answer.content.decode()
    kept = owner_client.post(here(lit), typed(letters))
    assert kept.status_code in (302, 422)
    assert "<script>alert" not in owner_client.get(here(lit)).content.decode()

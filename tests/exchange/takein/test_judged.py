"""Rows against what is on record: every fact that can differ, and everything that refuses a row."""

from decimal import Decimal

import pytest

import dating
from catalogue.exchange.takein.dry_run import verdicts_of
from catalogue.exchange.takein.undo_take_in import TakeInNotUndone, undo_take_in
from catalogue.exchange.takein.write_rows import write_take_in
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Site
from catalogue.specimens.models import Bottler, Inscription, ObservedFeature, Opinion, Product, Specimen
from catalogue.specimens.services import Parts
from tests import factories

from .sheets import Rows, taken
from .test_write import dry, only_verdict, whys


def changes(find: Specimen, **cells: str) -> list[list[str]]:
    verdict = only_verdict([["Number", *cells], [find.number, *cells.values()]], show_visitors=True)
    assert verdict["problems"] == []
    return verdict["changes"]


def refusal(*, heading: str, cell: str, **said: object) -> str:
    verdict = only_verdict([["What is it", "What", heading], ["x", "Jar", cell]], **said)
    assert verdict["kind"] == "refused", verdict
    [(letters, column, why)] = verdict["problems"]
    assert (letters, column) == ("C", heading)
    return why


@pytest.fixture
def bottle(db) -> Specimen:
    """A find with parts, an opinion and a place."""
    maker = factories.brackwater()
    find = factories.find(
        "Jar",
        Parts(
            inscriptions=[Inscription(text="QUILL")],
            readings=[factories.reading("BW")],
            features=[ObservedFeature(feature="crown-finish")],
        ),
        place=factories.place(),
        town=factories.town("Ellarn", region="Velshire", country="GB"),
        bottler=factories.bottler(),
        product=factories.product(),
        height_mm=Decimal("240.0"),
        dive=factories.dive(),
    )
    Opinion.objects.create(find=find, about="maker", value=maker.name, maker=maker, on="2024-06-01")
    return find


@pytest.mark.parametrize(
    ("heading", "cell", "change"),
    [
        ("Colour", "clear", ["Colour", "", "colourless"]),
        ("How it lay", "buried", ["How it lay", "", "buried"]),
        ("Height", "9 1/2 in", ["Height", "240", "241.3"]),
        ("Stage", "drying", ["Stage", "wet", "drying"]),
        ("Standing", "lost or broken", ["Standing", "kept", "lost or broken"]),
        ("Shared with visitors", "yes", ["Shared with visitors", "no", "yes"]),
        ("Town", "Oldquay", ["Town", "Ellarn, Velshire, GB", "Oldquay, Velshire, GB"]),
        ("Bottler", "Hark & Lowe", ["Bottler", "Quill & Sons", "Hark & Lowe"]),
        ("Product", "Stout", ["Product", "Quill's ginger beer", "Stout"]),
        ("Base mark", "Q&S", ["Maker's mark, letters", "BW", "Q&S"]),
        ("Inscription", "HARK", ["Inscriptions", "body, embossed, other: QUILL", "HARK"]),
        (
            "Signs of its making",
            "Tooled crown finish",
            ["Signs of its making", "certain: Crown cap finish", "crown-finish-tooled"],
        ),
        ("Year", "c. 1926–46", ["Opinion, made", "", "c. 1926–46"]),
        ("Made or sold in", "USA", ["Made or sold in", "", "US"]),
        ("Price", "2.50", ["Notes", "", "Price: 2.50"]),
        ("Notes", "chip", ["Notes", "", "chip"]),
        ("Photo", "a.jpg", ["Pictures", "", "a.jpg"]),
    ],
)
def test_what_differs_is_shown(bottle: Specimen, heading: str, cell: str, change: list[str]) -> None:
    assert changes(bottle, **{heading: cell}) == [change]


@pytest.mark.parametrize(
    ("heading", "cell"),
    [
        ("Height", "24 cm"),
        ("Town", "ellarn"),
        ("Bottler", "QUILL & SONS"),
        ("Base mark", "BW"),
        ("Inscription", "QUILL"),
        ("Signs of its making", "crown cap finish"),
        ("Maker", "brackwater bottle company"),
        ("Opinions", "maker: Brackwater Bottle Company (2024-06-01)"),
        ("Stage", "wet"),
        ("Standing", "kept"),
        ("Free to take", "no"),
        ("Shared with visitors", "no"),
        ("Shelf", "hall case"),
        ("Date", "1 June 2024"),
        ("Site", "heron ledge"),
        ("What", "Jar"),
    ],
)
def test_the_same_in_other_words_is_no_change(bottle: Specimen, heading: str, cell: str) -> None:
    assert changes(bottle, **{heading: cell}) == []


def test_all_of_it_is_written_and_taken_back(bottle: Specimen) -> None:
    before = {column.attname: getattr(bottle, column.attname) for column in Specimen._meta.concrete_fields}
    cells = {
        "Colour": "clear",
        "Standing": "lost",
        "Stage": "drying",
        "Town": "Oldquay",
        "Bottler": "Hark & Lowe",
        "Product": "Stout",
        "Base mark": "Q&S",
        "Inscription": "HARK",
        "Signs of its making": "Tooled crown finish",
        "Maker": "Brackwater Bottle Company",
        "Year": "1920s",
        "Date": "2023-05-01",
        "Site": "Tallow Cove",
        "Shelf": "Hall case, Third shelf",
    }
    take_in = taken([["Number", *cells], [bottle.number, *cells.values()]])
    assert dry(take_in, make_sites=True, make_dives=True, make_places=True)["changed"] == 1
    write_take_in(take_in.pk)
    find = Specimen.objects.get()
    assert (find.colour, find.standing, find.stage) == ("colourless", "lost", "drying")
    assert (find.bottler.name, find.product.name) == ("Hark & Lowe", "Stout")
    assert find.dive.date.isoformat() == "2023-05-01" and find.number == bottle.number
    assert find.place.path == "Hall case, Third shelf" and find.place.parent.name == "Hall case"
    assert {row.letters for row in find.readings.all()} == {"BW", "Q&S"}
    undo_take_in(take_in.pk)
    find = Specimen.objects.get()
    derived = {"changed", *(name for name in before if name.startswith(("made_", "maker_")))}
    after = {name: getattr(find, name) for name in before}
    assert {n: v for n, v in after.items() if n not in derived} == {
        n: v for n, v in before.items() if n not in derived
    }
    assert [row.text for row in find.inscriptions.all()] == ["QUILL"]
    assert [row.letters for row in find.readings.all()] == ["BW"]
    assert [row.feature for row in find.features.all()] == ["crown-finish"]
    assert [(o.about, o.on.isoformat()) for o in find.opinions.filter(current=True)] == [
        ("maker", "2024-06-01")
    ]
    assert Dive.objects.count() == 1 and Site.objects.count() == 1 and Place.objects.count() == 1
    assert Bottler.objects.count() == 1 and Product.objects.count() == 1


def test_undo_says_what_it_can_not_take_back(bottle: Specimen) -> None:
    rows: Rows = [["Number", "Height"], [bottle.number, "25 cm"]]
    take_in = taken(rows)
    dry(take_in)
    write_take_in(take_in.pk)
    factories.find("Another")
    bottle.refresh_from_db()
    bottle.readings.create(letters="X")
    with pytest.raises(TakeInNotUndone, match="changed again since"):
        undo_take_in(take_in.pk)
    bottle.readings.get(letters="X").delete()
    bottle.put_in_bin()
    with pytest.raises(TakeInNotUndone, match="it lies in the bin"):
        undo_take_in(take_in.pk)


@pytest.mark.parametrize(
    ("heading", "cell", "why"),
    [
        ("Type", "spaceship", "no word that is known"),
        ("Height", "3 m", "can't be more than 1500 mm"),
        ("Height", "-3 mm", "must be more than 0"),
        ("Field tag", "x" * 41, "41 letters are too many, 40 go in"),
        ("Bottler", "x" * 201, "201 letters are too many, 200 go in"),
        ("Shared with visitors", "perhaps", "neither yes nor no"),
        ("Maker", "Zannick Glass", "no maker on record is called"),
        ("Base mark", "x" * 61, "too many for a mark"),
        ("Signs of its making", "gilding", "no sign of making"),
        ("Opinions", "old", "can't be read as an opinion"),
        ("Year", "x" * 201, "201 letters are too many"),
        ("Town", "???", "“???” names no town: there is no letter in it"),
        ("Date", "31.2.2019", "no day of the calendar"),
        ("Came up about (EDTF)", "soon", "can't be read"),
        ("Site", "x" * 201, "longer than 200 letters"),
        ("Site", "Nowhere", "no site on record is called"),
        ("Shelf", "Nowhere", "no place on record is called"),
        ("GPS", "north of the pier", "latitude, a comma, then longitude"),
        ("GPS", "44.5, -75.25", "name it in a column of its own"),
        ("Water", "Velmoor Sound", "name it in a column of its own"),
        ("Inscription", "x" * 1001, "too long, 1,000 go in"),
    ],
)
def test_what_refuses_a_row(db, heading: str, cell: str, why: str) -> None:
    assert why in refusal(heading=heading, cell=cell)


def test_standings_that_name_a_person_are_noted_on_the_piece(bottle: Specimen) -> None:
    rows: Rows = [["Number", "Standing"], [bottle.number, "handed over"]]
    take_in = taken(rows)
    dry(take_in)
    assert whys(take_in) == [
        "handed over: note that on the piece's own page, where it is asked to whom and when"
    ]


def test_positions_of_sites(db) -> None:
    site = factories.site(latitude=Decimal("44.5"), longitude=Decimal("-75.25"), water_body="Velmoor Sound")
    bare = factories.site("Bare Rock")
    rows: Rows = [
        ["What", "Site", "Latitude", "Longitude", "Water", "Position uncertain by, m"],
        ["a", "Heron Ledge", "44° 30' N", "75° 15' W", "", ""],
        ["b", "Heron Ledge", "45", "-75", "", ""],
        ["c", "Heron Ledge", "44.5", "", "", ""],
        ["d", "Bare Rock", "44.5", "-75.25", "", ""],
        ["e", "Heron Ledge", "", "", "Other Sound", ""],
        ["f", "Tallow Cove", "44.6", "-75.3", "Velmoor Sound", "30"],
        ["g", "Tallow Cove", "", "", "", "far"],
    ]
    take_in = taken(rows)
    dry(take_in, make_sites=True)
    said = [(v["kind"], [p[2] for p in v["problems"]], v["remarks"]) for v in verdicts_of(take_in)]
    assert said == [
        ("new", [], []),
        ("refused", ["Heron Ledge lies elsewhere on record: change that on its page"], []),
        ("refused", ["Give both latitude and longitude, or neither"], []),
        ("new", [], ["Bare Rock is on record without a position: add it on the site's page"]),
        ("new", [], ["its water is not changed by a sheet: do that on the page of Heron Ledge"]),
        ("new", [], []),
        ("refused", ["“far” is no number of metres"], []),
    ]
    write_take_in(take_in.pk, only_good=True)
    cove = Site.objects.get(name="Tallow Cove")
    assert (cove.latitude, cove.longitude) == (Decimal("44.600000"), Decimal("-75.300000"))
    assert (cove.water_body, cove.uncertainty_m, cove.show_as) == ("Velmoor Sound", 30, "hidden")
    assert Specimen.objects.get(what="d").site == bare and Specimen.objects.get(what="a").site == site


def test_dives_of_the_sheet_and_of_numbers(db) -> None:
    factories.dive()
    gone = factories.dive()
    gone.put_in_bin()
    rows: Rows = [
        ["Number", "What", "Dive", "Date", "Site"],
        ["2024.1.7", "a", "", "", ""],
        ["", "b", "2023.9", "2023-05-01", "Heron Ledge"],
        ["2022.4.1", "c", "", "2022-05-01", "Heron Ledge"],
        ["", "d", "2024.2", "", ""],
    ]
    take_in = taken(rows)
    assert dry(take_in, make_dives=True)["refused"] == 1
    assert whys(take_in) == ["dive 2024.2 lies in the bin: restore it first"]
    write_take_in(take_in.pk, only_good=True)
    said = {find.what: (find.number, find.dive.ordinal) for find in Specimen.objects.all()}
    assert said == {"a": ("2024.1.7", 1), "b": ("2023.9.1", 9), "c": ("2022.4.1", 4)}


def test_a_find_without_a_name_is_called_by_its_kind_or_refused(db) -> None:
    take_in = taken([["Type", "Color", "Height"], ["ink", "aqua", "5 cm"], ["", "aqua", "5 cm"]])
    assert dry(take_in)["refused"] == 1 and "nothing says what it is" in whys(take_in)[0]
    assert verdicts_of(take_in)[0]["what"] == "aqua ink bottle"


def test_too_much_for_the_notes(bottle: Specimen) -> None:
    rows: Rows = [["Number", "What", "Notes", "Price"]]
    rows += [["", "Jar", "n" * 9_990, "much too much"], [bottle.number, "", "n" * 9_990, "much too much"]]
    take_in = taken(rows)
    assert dry(take_in)["refused"] == 2
    assert set(whys(take_in)) == {"its notes would be longer than 10,000 letters"}


def test_what_the_dating_cannot_read_refuses_its_row(db, monkeypatch) -> None:
    def refuse(*_: object) -> None:
        raise dating.CaseError("these letters can't be weighed.", "marks[0].letters")

    monkeypatch.setattr(dating.Case, "from_dict", refuse)
    take_in = taken([["What", "Base mark"], ["Jar", "BW"], ["Ink", ""]])
    assert dry(take_in)["refused"] == 1 and whys(take_in) == ["these letters can't be weighed"]


def test_several_places_of_one_name_and_a_region_alone(db) -> None:
    for above in ("Hall", "Attic"):
        factories.place("Third shelf", factories.place(above))
    take_in = taken([["What", "Shelf", "State"], ["Jar", "third shelf", ""], ["Ink", "", "Maine"]])
    dry(take_in, make_places=True)
    assert whys(take_in) == [
        "several places are called “third shelf”: write its whole path",
        "a region without its town says too little",
    ]

"""What was taken out comes into an empty catalogue as it was, as far as a spreadsheet can hold it."""

import csv
import datetime
import io

import pytest

from catalogue.exchange.mark_cells import mark_from_cell, mark_in_cell
from catalogue.exchange.models import TakeIn
from catalogue.exchange.takein.answers import SheetAnswers
from catalogue.exchange.takein.dry_run import run_dry, verdicts_of
from catalogue.exchange.takein.read_any import read_sheet
from catalogue.exchange.takein.stored_sheet import begin_take_in
from catalogue.exchange.takein.write_rows import write_take_in
from catalogue.exchange.takeout.formats import OPEN_FORMATS, taken_out
from catalogue.exchange.takeout.rows import keys_of
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Site
from catalogue.specimens.models import (
    Bottler,
    Inscription,
    MarkReading,
    NumberSeries,
    ObservedFeature,
    Opinion,
    Product,
    Specimen,
    Town,
)
from catalogue.specimens.reading.value import Reading
from catalogue.specimens.services import Parts, give_opinion
from tests import factories as make

ADDED = SheetAnswers(make_sites=True, make_dives=True, make_places=True, show_visitors=True).to_store()
# When it was written is another moment by nature.
MOMENTS = {"Recorded at", "Last changed at"}
READINGS = (
    Reading("BW", symbol="wave", frame="none", right="4?", left=""),
    Reading("T&H | =x", frame="hexagon", below="?", where="heel", certainty="doubtful"),
    Reading("", symbol="", frame=None, right="7"),
    Reading("Größe % 100", arrangement=None, above=" a b "),
)


def out(kind: str) -> bytes:
    return b"".join(
        taken_out(keys_of(Specimen.objects.all(), public=False), OPEN_FORMATS[kind], public=False)
    )


def rows(data: bytes) -> list[dict[str, str]]:
    read = csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline=""))
    return [{name: cell for name, cell in row.items() if name not in MOMENTS} for row in read]


def fill() -> None:
    """Finds with every column that a sheet may bring."""
    maker = make.brackwater()
    site = make.site(latitude=44.51, longitude=-67.28, water_body="Velmoor Sound", uncertainty_m=30)
    town = make.town()
    parts = Parts(
        readings=[READINGS[0].row(), READINGS[1].row()],
        inscriptions=[Inscription(where="body", text="QUILL & SONS / MARROWBY", says="bottler")],
        features=[ObservedFeature(feature="crown-finish", certainty="probable", note="chipped")],
    )
    whole = make.find(
        "Aqua soda bottle",
        parts,
        dive=make.dive(site),
        place=make.place("Top shelf", make.place()),
        town=town,
        bottler=make.bottler(town=town),
        product=make.product(),
        kind="soda",
        contents="soda",
        colour="aqua",
        height_mm="241.5",
        mass_g="540",
        capacity_ml="340",
        depth_m="4.5",
        stage="drying",
        shared=True,
        story="It lay in ooze.\nMouth down.",
        notes="=SUM(1), said Ida",
        older_numbers="B-7",
        field_tag="A12",
        found_with="two corks",
        region="US",
    )
    on = datetime.date(2024, 6, 2)
    give_opinion(Opinion(find=whole, about="maker", value=str(maker), maker=maker, on=on))
    make.find("Ink cone", Parts(readings=[READINGS[2].row(), READINGS[3].row()]), standing="free")


def emptied() -> None:
    """Without finds and what they lay in; makers come with a file of their own."""
    Place.objects.exclude(parent=None).delete()
    for model in (Specimen, Dive, Site, Product, Bottler, Town, Place, NumberSeries, TakeIn):
        model._base_manager.all().delete()
    # An empty catalogue knows of no number that was given before.
    Specimen.history.all().delete()


@pytest.mark.parametrize("kind", ["csv", "xlsx", "ods"])
def test_an_empty_catalogue_gets_all_of_it_back(db, kind):
    fill()
    before, data = out("csv"), out(kind)
    emptied()
    name = f"finds.{kind}"
    take_in = begin_take_in(name, data, read_sheet(name, data))
    take_in.answers = ADDED
    take_in.save()
    run_dry(take_in)
    assert [verdict["problems"] for verdict in verdicts_of(take_in) or []] == [[], []]
    assert write_take_in(take_in.pk).new == 2
    assert rows(out("csv")) == rows(before)
    again = begin_take_in(name, data, read_sheet(name, data))
    run_dry(again)
    assert again.counts["new"] == again.counts["changed"] == again.counts["refused"] == 0


@pytest.mark.parametrize("reading", READINGS)
def test_a_mark_is_the_same_after_a_cell(reading):
    cell = mark_in_cell(reading)
    assert "|" not in cell and cell.startswith(("letters=", "symbol="))
    assert Reading(**mark_from_cell(cell)) == reading


@pytest.mark.parametrize(
    "cell",
    [
        "",
        "BW",
        "letters=BW&letters=X",
        "sql=1",
        "letters=" + "x" * 61,
        "where=moon&letters=B",
        "=1+1",
        "text=B%00",
    ],
)
def test_what_is_no_mark_is_refused(cell):
    with pytest.raises(ValueError, match="."):
        mark_from_cell(cell)


def verdict_of(cell: str, what: str = "Jar") -> dict:
    data = f"What it is,\"Maker's marks, part by part\",Maker's marks as read\n{what},{cell},in words\n"
    take_in = begin_take_in("marks.csv", data.encode(), read_sheet("marks.csv", data.encode()))
    run_dry(take_in)
    [verdict] = verdicts_of(take_in) or []
    return verdict


def test_a_cell_that_is_no_mark_refuses_its_row_in_a_sentence(db):
    assert "can't be read as a mark" in verdict_of("BW over a wave")["problems"][0][2]


def test_a_sign_of_no_mark_on_record_goes_into_the_notes(db):
    verdict = verdict_of("letters=BW&symbol=anchorstone")
    assert verdict["problems"] == []
    assert any("no mark on record has “anchorstone”" in words for words in verdict["remarks"])


def test_of_a_find_on_record_another_mark_is_added_and_the_same_is_none(db):
    make.brackwater()
    find = make.find("Jar", Parts(readings=[READINGS[0].row()]))
    data = out("csv").decode("utf-8-sig")
    for change, count in (("right=4%3F", 1), ("right=5", 2)):
        changed = data.replace("right=4%3F", change).encode()
        take_in = begin_take_in("finds.csv", changed, read_sheet("finds.csv", changed))
        run_dry(take_in)
        if count == 2:
            write_take_in(take_in.pk)
        assert MarkReading.objects.filter(find=find).count() == count

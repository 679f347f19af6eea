"""Rows judged, written as one step, sent again, and undone."""

from decimal import Decimal

import pytest
from django.utils import timezone

from catalogue.exchange.models import KnownHeadings, TakeIn, TakenRow
from catalogue.exchange.takein.answers import SheetAnswers
from catalogue.exchange.takein.dry_run import run_dry, verdicts_of
from catalogue.exchange.takein.undo_take_in import TakeInNotUndone, undo_take_in
from catalogue.exchange.takein.write_rows import TakeInRefused, write_take_in
from catalogue.exchange.takeout.formats import OPEN_FORMATS, taken_out
from catalogue.exchange.takeout.rows import keys_of
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Site
from catalogue.specimens.models import Bottler, Move, Specimen, Town
from tests import factories

from .sheets import messy, taken

HEADS = ["Number", "What it is", "Height, mm", "Notes"]


def dry(take_in: TakeIn, **answers: object) -> dict[str, int]:
    take_in.answers = SheetAnswers(**answers).to_store()
    take_in.save()
    run_dry(take_in)
    return take_in.counts


def whys(take_in: TakeIn) -> list[str]:
    return [why for verdict in verdicts_of(take_in) or [] for _, _, why in verdict["problems"]]


def only_verdict(rows: list[list[object]], **answers: object) -> dict:
    take_in = taken(rows)
    dry(take_in, **answers)
    [verdict] = verdicts_of(take_in)
    return verdict


def test_a_new_find_gets_its_number_and_all_that_its_row_says(db) -> None:
    factories.brackwater()
    place = factories.place()
    dive = factories.dive()
    take_in = taken(
        [
            [
                "What",
                "Type",
                "Height",
                "Weight",
                "Base mark",
                "Maker",
                "Town",
                "Year",
                "Date",
                "Site",
                "Shelf",
                "Price",
            ],
            [
                "aqua soda",
                "Soda",
                '9 1/2"',
                "1 lb",
                "BW",
                "brackwater bottle company",
                "Marrowby",
                "c. 1926–46",
                "1 June 2024",
                "heron ledge",
                "hall case",
                "2.50",
            ],
        ]  # fmt: skip
    )
    assert dry(take_in) == {"new": 1, "changed": 0, "same": 0, "here": 0, "refused": 0}
    written = write_take_in(take_in.pk)
    find = Specimen.objects.get()
    assert (written.new, written.changed) == (1, 0)
    assert (find.number, find.what, find.kind, find.stage) == ("2024.1.1", "aqua soda", "soda", "done")
    assert (find.height_mm, find.mass_g) == (Decimal("241.3"), Decimal("453.6"))
    assert (find.dive, find.place, find.town.name) == (dive, place, "Marrowby")
    assert [row.letters for row in find.readings.all()] == ["BW"]
    assert sorted((o.about, o.value) for o in find.opinions.all()) == [
        ("made", "c. 1926–46"),
        ("maker", "Brackwater Bottle Company"),
    ]
    assert find.maker.name == "Brackwater Bottle Company" and find.made_words
    assert find.notes == "Price: 2.50"
    assert Move.objects.get().to_place == place


def test_a_known_find_changes_only_where_its_row_differs(db) -> None:
    find = factories.find("Jar", height_mm=Decimal("240.0"), notes="cracked")
    take_in = taken([HEADS, [find.number, "Jar", "24.1 cm", ""]])
    assert dry(take_in)["changed"] == 1
    assert verdicts_of(take_in)[0]["changes"] == [["Height", "240", "241"]]
    entries = find.history.count()
    write_take_in(take_in.pk)
    find.refresh_from_db()
    assert (find.height_mm, find.notes, find.what) == (Decimal("241.0"), "cracked", "Jar")
    assert find.history.count() == entries + 1


def test_an_empty_cell_takes_nothing_away(db) -> None:
    find = factories.find("Jar", notes="cracked", height_mm=Decimal("240.0"))
    assert only_verdict([HEADS, [find.number, "Jar", "", ""]])["kind"] == "same"


def test_a_number_from_the_sheet_is_kept_and_its_series_goes_on_after_it(db) -> None:
    take_in = taken([HEADS, ["2019.4.7", "Jar", "", ""]])
    dry(take_in)
    write_take_in(take_in.pk)
    assert Specimen.objects.get().number == "2019.4.7"
    dives = [factories.dive(date=timezone.localdate().replace(year=2019)) for _ in range(2)]
    assert [dive.ordinal for dive in dives] == [5, 6]


def test_numbers_that_cannot_be_had(db) -> None:
    binned, gone = factories.find("Binned"), factories.find("Gone")
    binned.put_in_bin()
    number = gone.number
    gone.delete()
    take_in = taken(
        [HEADS, [binned.number, "Jar", "", ""], [number, "Jar", "", ""], ["12/3", "Jar", "", ""]]
        + [["2020.0.9", "a", "", ""], ["2020.0.9", "b", "", ""]]
    )
    assert dry(take_in)["refused"] == 5
    first, second, third, *twice = whys(take_in)
    assert first == f"{binned.number} lies in the bin: restore it first"
    assert "deleted for good" in second and "no number of the catalogue" in third
    assert twice == ["rows 5 and 6 have the same number, 2020.0.9: leave one, or number them"] * 2


def test_all_or_nothing_and_only_the_good_rows(db) -> None:
    take_in = taken([HEADS, ["", "Jar", "240", ""], ["", "Flask", "tallish", ""]])
    assert dry(take_in)["refused"] == 1
    with pytest.raises(TakeInRefused, match="1 row can't be"):
        write_take_in(take_in.pk)
    assert not Specimen.objects.exists()
    assert "1 row was left out" in write_take_in(take_in.pk, only_good=True).words
    assert [find.what for find in Specimen.objects.all()] == ["Jar"]


def test_a_cell_that_cannot_be_read_goes_into_the_notes_by_choice(db) -> None:
    take_in = taken([HEADS, ["", "Flask", "tallish", "green"]])
    assert dry(take_in, unread_into_notes=True)["new"] == 1
    write_take_in(take_in.pk)
    assert Specimen.objects.get().notes == "green\nHeight, mm: tallish"


def test_the_same_file_twice_changes_nothing_even_where_rows_are_alike(db) -> None:
    rows = [["What", "Height"], ["Jar", "24 cm"], ["Jar", "24 cm"], ["Flask", "9 in"]]
    first = taken(rows)
    assert dry(first)["new"] == 3
    write_take_in(first.pk)
    again = taken(rows)
    assert dry(again) == {"new": 0, "changed": 0, "same": 0, "here": 3, "refused": 0}
    with pytest.raises(TakeInRefused, match="no row of it is new"):
        write_take_in(again.pk)
    with pytest.raises(TakeInRefused, match="done already"):
        write_take_in(first.pk)
    assert Specimen.objects.count() == 3


def test_a_row_is_known_by_its_owners_number_when_it_was_edited(db) -> None:
    take_in = taken([["No.", "What", "Height"], ["B-17", "Jar", "24 cm"]])
    dry(take_in)
    write_take_in(take_in.pk)
    find = Specimen.objects.get()
    assert find.older_numbers == "B-17"
    again = taken([["No.", "What", "Height"], ["B-17", "Jar", "25 cm"]])
    assert dry(again)["changed"] == 1
    write_take_in(again.pk)
    find.refresh_from_db()
    assert find.height_mm == Decimal("250.0") and Specimen.objects.count() == 1


def test_what_changed_since_it_was_shown_is_not_written(db) -> None:
    find = factories.find("Jar", height_mm=Decimal("240.0"))
    take_in = taken([HEADS, [find.number, "Jar", "250", ""]])
    dry(take_in)
    shown = take_in.verdicts_digest
    find.height_mm = Decimal("260.0")
    find.save()
    with pytest.raises(TakeInRefused, match="has changed since"):
        write_take_in(take_in.pk, shown=shown)
    find.refresh_from_db()
    assert find.height_mm == Decimal("260.0")


def test_undo_takes_all_of_it_back(db) -> None:
    site, place = factories.site(), factories.place()
    old = factories.find("Jar", height_mm=Decimal("240.0"), site=site, place=place)
    rows = [
        ["Number", "What", "Height", "Site", "Shelf", "Town", "Bottler", "Year", "Inscription"],
        [old.number, "Jar", "25 cm", "Tallow Cove", "Attic", "Oldquay", "Hark & Lowe", "1920s", "HARK"],
        ["", "Flask", "9 in", "Tallow Cove", "Attic", "Oldquay", "Hark & Lowe", "1920s", ""],
    ]
    take_in = taken(rows)
    counts = dry(take_in, make_sites=True, make_places=True)
    assert (counts["new"], counts["changed"]) == (1, 1)
    write_take_in(take_in.pk)
    old.refresh_from_db()
    assert (old.site.name, old.place.name, old.town.name) == ("Tallow Cove", "Attic", "Oldquay")
    undone = undo_take_in(take_in.pk)
    assert (undone.new, undone.changed, undone.left) == (1, 1, [])
    old.refresh_from_db()
    assert (old.site, old.place, old.town, old.bottler) == (site, place, None, None)
    assert old.height_mm == Decimal("240.0") and not old.inscriptions.exists()
    assert not old.opinions.filter(current=True).exists()
    assert [find.pk for find in Specimen.objects.all()] == [old.pk]
    for model in (Town, Bottler):
        assert not model.objects.exists()
    assert not Site.objects.filter(name="Tallow Cove").exists()
    assert not Place.objects.filter(name="Attic").exists()
    with pytest.raises(TakeInNotUndone):
        undo_take_in(take_in.pk)
    assert not TakenRow.objects.exists()


def test_undo_leaves_and_names_what_was_changed_since(db) -> None:
    take_in = taken([["What", "Height"], ["Jar", "24 cm"], ["Flask", "9 in"], ["Ink", "5 cm"]])
    dry(take_in)
    write_take_in(take_in.pk)
    jar, flask, ink = Specimen.objects.order_by("number_piece")
    jar.notes = "looked at"
    jar.save()
    factories.find("A part of another", town=factories.town())
    undone = undo_take_in(take_in.pk)
    assert undone.new == 2 and undone.left == [(jar.number, "it was changed again since")]
    assert f"Not undone: {jar.number}, as it was changed again since." in undone.words
    again = taken([["What", "Height"], ["Jar", "24 cm"], ["Flask", "9 in"], ["Ink", "5 cm"]])
    assert dry(again) == {"new": 2, "changed": 0, "same": 0, "here": 1, "refused": 0}


def test_new_dives_sites_and_places_only_on_a_persons_word(db) -> None:
    rows = [["What", "Date", "Site", "Shelf"], ["Jar", "3.8.2019", "Tallow Cove", "Attic"]]
    take_in = taken(rows)
    assert dry(take_in)["refused"] == 1
    assert len(whys(take_in)) == 2
    assert dry(take_in, make_sites=True, make_places=True)["new"] == 1
    [verdict] = verdicts_of(take_in)
    assert "no dive on that day" in verdict["remarks"][0]
    dry(take_in, make_sites=True, make_places=True, make_dives=True)
    write_take_in(take_in.pk)
    dive = Dive.objects.get()
    assert (dive.date.isoformat(), dive.site.name) == ("2019-08-03", "Tallow Cove")
    assert Specimen.objects.get().number == "2019.1.1"


def test_without_a_dive_the_year_is_kept_and_the_day_goes_into_the_notes(db) -> None:
    take_in = taken([["What", "Date"], ["Jar", "3.8.2019"], ["Ink", "Aug 2019"]])
    dry(take_in)
    write_take_in(take_in.pk)
    said = [(find.recovered_edtf, find.notes) for find in Specimen.objects.order_by("number_piece")]
    assert said == [("2019", "Came up on 2019-08-03."), ("2019", "Came up: Aug 2019.")]


def test_a_day_that_may_be_two_is_asked_not_guessed(db) -> None:
    factories.dive(date=timezone.datetime(2019, 4, 3).date())
    rows = [["What", "Date"], ["Jar", "3/4/2019"]]
    assert "3 Apr or 4 Mar" in only_verdict(rows)["problems"][0][2]
    assert only_verdict(rows, orders={"date": "day"})["kind"] == "new"
    take_in = taken(rows)
    dry(take_in, orders={"date": "day"})
    write_take_in(take_in.pk)
    assert Specimen.objects.get().dive.date.isoformat() == "2019-04-03"


def test_contradictions_are_refused(db) -> None:
    site, cove = factories.site(), factories.site("Tallow Cove")
    dive = factories.dive(site)
    for _ in range(2):
        factories.dive(cove)
    rows = [
        ["What", "Dive", "Date", "Site"],
        ["a", "2024.1", "", "Tallow Cove"],
        ["b", "2024.1", "2024-06-02", ""],
        ["c", "", "2024-06-01", "Tallow Cove"],
        ["d", "2024.9", "", ""],
        ["e", "2024.1", "2024-06-01", "Heron Ledge"],
    ]
    take_in = taken(rows)
    assert dry(take_in)["refused"] == 4 and dive.ordinal == 1
    assert whys(take_in) == [
        "dive 2024.1 was at Heron Ledge",
        "dive 2024.1 was on 2024-06-01",
        "on that day there are dives 2024.2 and 2024.3: say which in a column of dives",
        "no dive 2024.9 is on record",
    ]


def test_sharing_is_asked_and_what_may_not_be_shown_stays_private(db) -> None:
    find = factories.find("Jar")
    rows = [["Number", "What", "Shared with visitors"], [find.number, "Jar", "yes"], ["", "Ink", "yes"]]
    take_in = taken(rows)
    assert dry(take_in)["refused"] == 2
    assert set(whys(take_in)) == {"visitors would see it: tick that they may, or empty the cell"}
    assert dry(take_in, show_visitors=True)["refused"] == 0
    write_take_in(take_in.pk)
    assert Specimen.objects.filter(shared=True).count() == 2


def test_a_hazard_keeps_a_piece_from_being_shared_by_a_sheet(db) -> None:
    site = factories.site("Gun Reef", military="yes", dangers=["munition"])
    rows = [["What", "Site", "Free to take"], ["Shell case", "Gun Reef", "yes"]]
    take_in = taken(rows)
    dry(take_in, show_visitors=True)
    written = write_take_in(take_in.pk)
    find = Specimen.objects.get()
    assert find.site == site and find.standing == "kept"
    assert f"{find.number}: not free to take: " in written.words


def test_what_was_said_of_the_columns_is_remembered(db) -> None:
    rows = [["What", "Tall"], ["Jar", "24 cm"]]
    first = taken(rows)
    dry(first, columns={"tall": "diameter_mm"})
    write_take_in(first.pk)
    assert KnownHeadings.objects.get().answers["columns"] == {"tall": "diameter_mm"}
    second = taken([["Tall", "What"], ["25 cm", "Ink"]])
    assert second.columns_said
    run_dry(second)
    write_take_in(second.pk)
    assert Specimen.objects.get(what="Ink").diameter_mm == Decimal("250.0")


def test_a_messy_sheet_of_400_rows(db) -> None:
    factories.brackwater()
    factories.dive()
    take_in = taken(messy(), "messy.xlsx")
    said = {"make_sites": True, "make_places": True, "make_dives": True, "units": {"height": "mm"}}
    counts = dry(take_in, **said)
    assert sum(counts.values()) == 400 and 0 < counts["refused"] < 200
    heads = {heading for verdict in verdicts_of(take_in) for _, heading, _ in verdict["problems"]}
    assert heads == {"", "Height", "Maker", "Date found"}
    counts = dry(take_in, **said, unread_into_notes=True, orders={"date found": "day"})
    # B-1 stands there five times: those rows can't be told apart
    assert counts == {"new": 395, "changed": 0, "same": 0, "here": 0, "refused": 5}
    written = write_take_in(take_in.pk, only_good=True)
    assert written.new == 395 == Specimen.objects.count()
    out = b"".join(
        taken_out(keys_of(Specimen.objects.all(), public=False), OPEN_FORMATS["ods"], public=False)
    )
    assert b"content.xml" in out
    assert undo_take_in(take_in.pk).new == 395 and not Specimen.objects.exists()


def test_what_was_begun_long_ago_is_dropped(db) -> None:
    old, young, done = (taken([["What", "Height"], [what, "24 cm"]]) for what in ("a", "b", "c"))
    dry(done)
    write_take_in(done.pk)
    long_ago = timezone.now() - timezone.timedelta(days=61)
    TakeIn.objects.exclude(pk=young.pk).update(at=long_ago)
    taken([["What", "Height"], ["d", "24 cm"]])
    assert not TakeIn.objects.filter(pk=old.pk).exists()
    assert TakeIn.objects.filter(pk__in=[young.pk, done.pk]).count() == 2

"""The facts of care against a second source: the collected facts of the project (`second_source.csv`).

Each line there says which words must stand in rows, where else they are told and by whom. Every figure, every
cell that decides and every word that turns a sentence round must lie within such words (`second_wording`), so
neither a number nor the key sentence of a caution can change unnoticed.
"""

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest

from catalogue.care.care_tables import (
    CARE_FACTS,
    CareMethod,
    OwnTreatment,
    care_tables,
    check_own,
    check_waiting,
    treatment_kinds,
    treatment_name,
)
from catalogue.care.chemistry import NEUTRALISERS
from catalogue.care.models import Treatment
from catalogue.care.piece_facts import CAUTIONS, HELD_METHODS
from catalogue.care.safety import STANDING_CAUTIONS
from catalogue.care.services.treatments import growth_steps
from dating import ReferenceError
from dating.facts import FactFolder, rows_of

from .second_wording import CHECKS, DECIDES, PROSE, SENTENCE, TABLES, complaints, rows_now

NEGATION = re.compile(
    r"\b(?:never|not|no|nor|don't|doesn't|without|only|nothing|first|before)\b", re.IGNORECASE
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: f"{check['table']}-{check['key'][:40]}")
def test_each_line_says_where_else_it_is_told_and_by_whom(check: dict[str, str]) -> None:
    assert check["table"] in TABLES and check["key"] and check["says"]
    assert check["second_source"] and check["named"]


@pytest.mark.parametrize("table", TABLES)
def test_each_row_says_what_its_second_source_says_and_nothing_unchecked(table: str) -> None:
    wrong = list(complaints(table, rows_now(table)))
    assert not wrong, "\n".join(wrong)  # whole: what must stand in a line is copied from here


@pytest.mark.parametrize("table", TABLES)
def test_no_change_goes_unnoticed(table: str) -> None:
    """Each figure, each word that turns a sentence round, each sentence, each cell that decides, each row."""
    rows = rows_now(table)
    for key, words in rows.items():
        assert any(complaints(table, {k: said for k, said in rows.items() if k != key})), (key, "gone")
        for changed in changes(table, words):
            assert any(complaints(table, {**rows, key: changed})), (key, changed)


def changes(table: str, words: str) -> Iterator[str]:
    """The words of one row, each time with one thing altered."""
    for found in (*re.finditer(r"\d+(?![^{}]*\})", words), *NEGATION.finditer(words)):
        other = str(int(found[0]) + 1) if found[0].isdigit() else "surely"
        yield words[: found.start()] + other + words[found.end() :]
    lines = words.split("\n")
    for number, line in enumerate(lines):
        column, _, cell = line.partition(": ")
        if column in DECIDES.get(table, ()):
            yield "\n".join([*lines[:number], f"{column}: {cell}x", *lines[number + 1 :]])
        elif column in PROSE:
            for sentence in SENTENCE.finditer(cell):
                rest = cell[: sentence.start()] + cell[sentence.end() :]
                yield "\n".join([*lines[:number], f"{column}: {rest}", *lines[number + 1 :]])


def test_each_table_is_looked_at() -> None:
    """Those of numbers alone stand in `test_chemistry` and below; sources are no facts."""
    elsewhere = {"acid_density", "acid_vapour", "neutralisers", "sources"}
    assert {path.stem for path in CARE_FACTS.folder.glob("*.csv")} == elsewhere | set(TABLES)


def test_a_row_that_came_without_a_line_is_noticed() -> None:
    rows = {**rows_now("safety"), "lamp": "part: never\nwords: Never look into the lamp."}
    assert list(complaints("safety", rows)) == [
        "lamp: 'part: never' stands unchecked",
        "lamp: 'Never look into the lamp.' stands unchecked",
    ]


def test_every_caution_and_every_published_row_is_checked() -> None:
    checked = {(check["table"], key) for check in CHECKS for key in check["key"].split(";")}
    assert {("treatments", method) for method in CAUTIONS} <= checked
    for table in ("methods", "treatments"):
        for cells in rows_of(table, CARE_FACTS.text(table)):
            if cells.text("basis") == "published":
                assert (table, cells.text("key")) in checked


# The bores that a tool fits: treatment_methods.csv, tool_* ("tool choice: neck bore >= 18 mm" …); both limits
# of the skewer are our own.
BORES = {
    "soft sponge on a bent wire": ("12", ""),
    "wooden skewer with cotton": ("3", "10"),
    "tiny tube brush": ("5", "10"),
    "small bottle brush": ("10", "18"),
    "bottle brush": ("18", ""),
    "uncooked rice with soap": ("8", ""),
    "magnet pair with felt": ("15", ""),
    "cut copper wire with soap": ("8", ""),
}


def test_the_bores_of_the_kit() -> None:
    rows = {cells.text("name"): cells for cells in rows_of("kit", CARE_FACTS.text("kit"))}
    assert {
        name: (cells.text("bore_from_mm"), cells.text("bore_to_mm"))
        for name, cells in rows.items()
        if cells.text("where") == "inside"
    } == BORES


def test_what_neutralises() -> None:
    """chemistry.json, molar_masses_g_mol (tolerance 0.01): NaHCO3, Na2CO3, with 1 and 10 H2O, Ca(OH)2.

    A bicarbonate takes up one acid, a carbonate (CO3, two charges) and a double hydroxide two.
    """
    assert {name: takes for name, (_, takes) in NEUTRALISERS.items()} == {
        "baking soda": 1,
        "soda ash": 2,
        "soda ash, one water": 2,
        "washing soda crystals": 2,
        "slaked lime": 2,
    }
    masses = [mass for mass, _ in NEUTRALISERS.values()]
    assert masses == pytest.approx([84.007, 105.988, 124.004, 286.141, 74.093], abs=0.01)
    hydrogen, carbon, oxygen, sodium, calcium = 1.00794, 12.0107, 15.9994, 22.98977, 40.078
    soda, water = 2 * sodium + carbon + 3 * oxygen, 2 * hydrogen + oxygen
    assert masses == pytest.approx(
        [
            sodium + hydrogen + carbon + 3 * oxygen,
            *(soda, soda + water, soda + 10 * water),
            calcium + 2 * (oxygen + hydrogen),
        ],
        abs=0.01,
    )


def test_every_standing_caution_is_checked() -> None:
    assert {("standing_cautions", key) for key in STANDING_CAUTIONS} <= {
        (check["table"], key) for check in CHECKS for key in check["key"].split(";")
    }


def test_acid_and_tumbling_wait_where_a_site_is_on_hold() -> None:
    """As the row “hold” of the decision table in cleaning.md: all acids and tumbling."""
    assert {"acid-bath", "vinegar", "citric", "tumble"} <= HELD_METHODS
    held = next(row for row in care_tables().rows if row.condition == "hold").forbidden
    assert {"hcl_bath", "vinegar", "citric", "tumble"} <= held


@pytest.mark.parametrize(
    ("method", "says"),
    [
        (replace(care_tables().methods["mech_scrape"], logs_as="tumble"), "it waits, but is not forbidden"),
        (replace(care_tables().methods["tumble"], logs_as="scrape"), "it does not wait, but is forbidden"),
    ],
)
def test_what_waits_is_what_a_hold_forbids(method: CareMethod, says: str) -> None:
    check_waiting(care_tables().methods.values(), care_tables().rows)
    with pytest.raises(ReferenceError, match=f"{says} as “{method.key}” in the row “hold”") as caught:
        check_waiting([method], care_tables().rows)
    assert (caught.value.file, caught.value.row) == ("treatments.csv", method.logs_as)


def test_one_taxonomy_of_treatments() -> None:
    """What a form offers, what the table holds and what methods and steps are written down as are one set."""
    kinds = treatment_kinds()
    offered = Treatment._meta.get_field("method").choices
    assert offered == [(kind.key, kind.name) for kind in kinds.values()]
    assert {method.logs_as for method in care_tables().methods.values()} - {""} <= set(kinds)
    assert {step.method for step in growth_steps().values()} - {""} <= set(kinds)
    assert [treatment_name(key) for key in ("soak", "of-tomorrow")] == ["fresh-water soak", "of-tomorrow"]


@pytest.mark.parametrize("gone", OwnTreatment)
def test_a_table_without_what_the_program_writes_down_does_not_load(gone: str) -> None:
    with pytest.raises(ReferenceError) as caught:
        check_own(treatment_kinds().keys() - {gone})
    assert (caught.value.file, caught.value.row, caught.value.field) == ("treatments.csv", gone, "key")


def test_a_key_that_would_not_be_stored_whole_does_not_load(monkeypatch: pytest.MonkeyPatch) -> None:
    row = "ultrasonicbath,ultrasonic bath,no,yes,,,ours,ours\n"
    table = CARE_FACTS.text("treatments") + row
    monkeypatch.setattr(FactFolder, "text", lambda self, name: table)
    with pytest.raises(ReferenceError, match="longer than 12"):
        treatment_kinds.__wrapped__()


def test_no_step_of_the_history_knows_the_kinds() -> None:
    """A new row needs no migration, and a step that lists them would ask for one."""
    _, path, _, how = Treatment._meta.get_field("method").deconstruct()
    assert (path, how) == ("django.db.models.CharField", {"max_length": 12})

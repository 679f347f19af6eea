"""The table loader: what does not load, and that the refusal says file, row and column."""

from pathlib import Path

import pytest

from dating import ReferenceError
from dating.facts import BASIS_WORDS, Cells, FactFolder

SOURCES = (
    "key,author,year,title,published_in\n"
    "perry,Perry R.H.,1997,Handbook,McGraw-Hill\n"
    "nobody,,,A leaflet,a quay\n"
)
GOOD = "key,mm,kept,source,basis\na,19.05,yes,perry;nobody,published\nb,2,no,,common\n"
COLUMNS = ("key", "mm", "kept")


def folder(path: Path, table: str, sources: str = SOURCES) -> FactFolder:
    (path / "sources.csv").write_text(sources, encoding="utf-8")
    (path / "things.csv").write_text(table, encoding="utf-8")
    return FactFolder(path)


def test_rows_come_with_their_grounds(tmp_path: Path) -> None:
    facts = folder(tmp_path, GOOD)
    first, second = facts.rows("things", COLUMNS)
    assert (first.number("mm"), first.yes("kept"), second.whole("mm"), second.yes("kept")) == (
        19.05,
        True,
        2,
        False,
    )
    grounds = first.grounds(facts.sources)
    assert [source.short for source in grounds.sources] == ["Perry R.H. 1997", ""]
    assert grounds.sources[1].words == "A leaflet"
    assert second.grounds(facts.sources).sources == ()
    assert BASIS_WORDS[second.grounds(facts.sources).basis] == "common practice"


@pytest.mark.parametrize(
    ("old", "new", "row", "field", "reason"),
    [
        ("perry;nobody", "somebody", "2", "source", "not in sources.csv"),
        ("perry;nobody", "", "2", "source", "needs its source"),
        (",,common", ",,hearsay", "3", "basis", "is not known"),
        (",,common", ",,", "3", "basis", "is not known"),
        ("key,mm", "key,cm", "2", "mm", "is missing"),
        ("b,2,no,,common", "b,2,no,", "3", "basis", "the cell is missing"),
        (",,common", ",,common,more", "3", "(more cells)", "no such column"),
    ],
)
def test_a_row_without_source_or_basis_does_not_load(
    tmp_path: Path, old: str, new: str, row: str, field: str, reason: str
) -> None:
    assert old in GOOD
    with pytest.raises(ReferenceError, match=reason) as caught:
        list(folder(tmp_path, GOOD.replace(old, new, 1)).rows("things", COLUMNS))
    error = caught.value
    assert (error.file, error.row, error.field) == ("things.csv", row, field)


def test_a_source_stands_once(tmp_path: Path) -> None:
    with pytest.raises(ReferenceError, match="there twice"):
        assert folder(tmp_path, GOOD, SOURCES + "perry,,,x,y\n").sources


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        (",A leaflet,", ",,", "title"),
        (",a quay", ",", "published_in"),
        (",title,published_in", ",title,place", "published_in"),
    ],
)
def test_a_source_without_a_title_or_a_place_does_not_load(
    tmp_path: Path, old: str, new: str, field: str
) -> None:
    assert old in SOURCES
    with pytest.raises(ReferenceError) as caught:
        list(folder(tmp_path, GOOD, SOURCES.replace(old, new, 1)).rows("things", COLUMNS))
    assert (caught.value.file, caught.value.field) == ("sources.csv", field)


@pytest.mark.parametrize("word", ["", "wide", "nan", "inf", "-1"])
def test_what_is_no_number(word: str) -> None:
    with pytest.raises(ReferenceError, match=r"things\.csv, row 7, mm"):
        Cells("things.csv", "7", {"mm": word}).number("mm")


def test_what_is_no_whole_number_and_no_known_key() -> None:
    cells = Cells("things.csv", "7", {"mm": "1.5", "kept": "perhaps", "tool": "brash"})
    with pytest.raises(ReferenceError, match="not a whole number"):
        cells.whole("mm")
    with pytest.raises(ReferenceError, match="is not known"):
        cells.yes("kept")
    with pytest.raises(ReferenceError, match="nearest: brush"):
        cells.one_of("tool", ["brush", "pick"])
    assert cells.one_of("tool", ["brash"]) == "brash"

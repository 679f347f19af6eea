"""The tables load, and a row that may not be used is refused with its file, row and field."""

from typing import Any

import pytest

from dating import Reference, ReferenceError
from dating.library import TABLE_NAMES, load
from dating.tables import PUBLISHED

from .own_rows import CODES, MARKS


def test_everything_is_there(ref: Reference) -> None:
    assert len(ref.marks) > 170 and len(ref.features) > 150 and len(ref.exclusions) > 40
    assert len(ref.sources) > 150 and len(ref.date_codes) > 14
    assert sum(map(len, ref.groups.values())) == len(ref.features)
    assert {"circle", "hexagon", "none"} <= set(ref.frames)
    assert "star" in ref.symbols and "monogram" in ref.arrangements
    assert {"soda", "beer"} <= set(ref.contents) and {"US", "UK"} <= set(ref.regions)
    assert "any" not in ref.regions and "" not in ref.symbols


def test_rows_are_typed(ref: Reference) -> None:
    mark = ref.marks["liberty-lg"]
    assert (mark.used_from, mark.used_to, mark.from_circa, mark.to_circa) == (1934, 1994, True, False)
    assert ref.date_codes["busch-centre-code"].mark_ids == ("busch-abgmco-large", "busch-abgmco-small")
    assert ref.features["acl"].years_read == ("earliest",)
    assert ref.exclusions["acl+applied-finish"].why == "Dates cannot meet"
    with pytest.raises(AttributeError):
        mark.used_from = 1900  # type: ignore[misc]
    with pytest.raises(TypeError):
        ref.marks["x"] = mark  # type: ignore[index]


def test_every_row_has_a_known_source(ref: Reference) -> None:
    for table in (ref.marks, ref.date_codes, ref.features, ref.exclusions):
        for row in table.values():
            assert row.source and all(key in ref.sources for key in row.source.split(";"))


def test_sources_in_words(ref: Reference) -> None:
    assert ref.source_words("angelfire-glenshaw") == "Collector's Corner, The Glenshaw Glass Co. Coded Dates"
    assert "; " in ref.source_words("bbr-2020;lock-rylands", "lot 70").split(": lot 70")[0]
    assert ref.source_words("own") == "own note"
    assert ref.source_words("own", "the mould book") == "the mould book"
    assert ref.source_words("my aunt's letter") == "my aunt's letter"


def test_version_follows_the_tables(ref: Reference) -> None:
    texts = {name: PUBLISHED.text(name) for name in TABLE_NAMES}
    assert load(texts).version == ref.version
    texts["marks"] = texts["marks"].replace("1934,1994", "1934,1993")
    assert load(texts).version != ref.version
    assert ref.with_own(MARKS).version not in (ref.version, ref.with_own(MARKS[:1]).version)


SPOILT = [
    ("marks", "adams-a,A,,none,plain", "adams-a,A,,cirkle,plain", "2", "frame", "nearest: circle"),
    (
        "marks",
        "adams-a,A,,none,plain",
        "adams-a,A,,none,plane",
        "2",
        "arrangement",
        "nearest: plain",
    ),
    (
        "marks",
        "US,1861,1891,true,false,firm,base;",
        "XX,1861,1891,true,false,firm,base;",
        "2",
        "country",
        "not",
    ),
    (
        "marks",
        "lock-other-a,p.509 (citing Toulouse 1971:21)",
        "nobody,p.509",
        "2",
        "source",
        "not in sources.csv",
    ),
    (
        "marks",
        "US,1861,1891,true,false,firm,base;",
        "US,1891,1861,true,false,firm,base;",
        "2",
        "used_to",
        "out of order",
    ),
    ("marks", "\nagnew-a,", "\nadams-a,", "4", "id", "there twice"),
    ("marks", "adams-a,A,,none", "adams-a,,,none", "2", "letters", "letters or a symbol"),
    ("marks", "1861,1891,true", "18x1,1891,true", "2", "used_from", "is not a year"),
    ("marks", "1861,1891,true", "1861,1891,maybe", "2", "from_circa", "neither true nor false"),
    ("marks", "true,false,firm,base; fine", "true,false,form,base; fine", "2", "window_of", "is not known"),
    ("marks", ",basis,note", ",base,note", "2", "basis", "missing"),
    ("marks", "id,letters", "id,extra,letters", "2", "extra", "no such column"),
    (
        "features",
        "free-blown,mould-seam,Free-blown",
        "free-blown,,Free-blown",
        "2",
        "group",
        "may not be empty",
    ),
    (
        "features",
        "none,none,common_to,lindsey-dating;weitzman",
        "none,none,middle,lindsey-dating;weitzman",
        "2",
        "years_read",
        "none of the four",
    ),
    (
        "features",
        "1850,1870,US,any,none,none,common_to,lindsey-dating;weitzman",
        "1850,1870,US,any,none,none,common_to,",
        "2",
        "source",
        "needs its source",
    ),
    (
        "date_codes",
        "glenshaw-lip-letter,glenshaw-g-square",
        "glenshaw-lip-letter,glenshaw-x",
        "2",
        "mark_ids",
        "no mark",
    ),
    (
        "date_codes",
        "letter-table,1935,1958,G=1935",
        "letter-table,1935,1958,G:1935",
        "2",
        "table",
        "key=year",
    ),
    (
        "date_codes",
        "federal-law-forbids;liquor",
        "federal-law;liquor",
        "us-liquor-bottle-year-1",
        "only_with",
        "no feature “federal-law”",
    ),
    ("features", "1850,1870,US,any,none", "1850,1870,XX,any,none", "2", "region", "not known"),
    ("features", "1850,1870,US,any,none", "1850,1870,US,ale,none", "2", "applies_to", "not known"),
    ("features", "1850,1870,US,any,none,none", "1850,1870,US,any,none,end", "2", "world_wide", "a firm side"),
    ("sources", ",Milk bottles,", ",,", "its own", "title", "may not be empty"),
    (
        "sources",
        ",Milk bottles,antiquebottles.com,",
        ",Milk bottles,,",
        "its own",
        "published_in",
        "may not be empty",
    ),
    ("countries", "AD,Andorra", "AD,", "2", "name", "may not be empty"),
    ("contents", ",ours", ",hearsay", "2", "basis", "not known"),
    ("exclusions", "free-blown,embossed-lettering", "free-blown,embossed", "2", "feature_b", "no feature"),
    ("families", "ghost-seam,made", "ghost,made", "4", "feature", "not known"),
    ("families", "ghost-seam,made", "machine-narrow-neck,made", "4", "feature", "there twice"),
    ("families", "ghost-seam,made by machine", "ghost-seam,by machine", "4", "family", "no other feature"),
    ("families", "made by machine,,common", "made by machine,,published", "2", "source", "needs its source"),
]


@pytest.mark.parametrize(("table", "old", "new", "row", "field", "reason"), SPOILT)
def test_refusals(table: str, old: str, new: str, row: str, field: str, reason: str) -> None:
    texts = {name: PUBLISHED.text(name) for name in TABLE_NAMES}
    assert old in texts[table]
    if row == "its own":  # rows before it come and go
        row = str(texts[table][: texts[table].index(old)].count("\n") + 1)
    texts[table] = texts[table].replace(old, new, 1)
    with pytest.raises(ReferenceError) as caught:
        load(texts)
    error = caught.value
    assert (error.file, error.row, error.field) == (f"{table}.csv", row, field)
    assert reason in error.message
    assert str(error).startswith(f"{table}.csv, row {row}, {field}: ")


OWN_SPOILT: list[tuple[dict[str, Any], dict[str, Any], str]] = [
    ({"id": "liberty-lg"}, {}, "there twice"),
    ({"used_from": 1950, "used_to": 1940}, {}, "out of order"),
    ({"used_from": "soon"}, {}, "is not a year"),
    ({"used_from": 19.5}, {}, "expected text"),
    ({"letters": "x" * 3000}, {}, "longer than"),
    ({"maker": ""}, {}, "may not be empty"),
    ({"colour": "aqua"}, {}, "no such column"),
    ({}, {"kind": "moon-phase"}, "is not known"),
    ({}, {"mark_ids": "unknown"}, "there is no mark"),
    ({}, {"kind": "dot-table", "table": ""}, "the table is empty"),
    ({}, {"kind": "dot-table", "table": ".=1930;.=1940"}, "there twice"),
    ({}, {"kind": "dot-table", "table": ".=1940-1930"}, "before 1940"),
    ({}, {"valid_from": 1950, "valid_to": 1940}, "out of order"),
]


@pytest.mark.parametrize(("mark", "code", "reason"), OWN_SPOILT)
def test_own_rows_are_checked_alike(
    ref: Reference, mark: dict[str, Any], code: dict[str, Any], reason: str
) -> None:
    with pytest.raises(ReferenceError, match=reason):
        ref.with_own([{**MARKS[1], **mark}], [{**CODES[1], **code}])


def test_own_rows_may_be_short_and_open(ref: Reference) -> None:
    joined = ref.with_own([{"id": "q", "letters": "Q.", "maker": "Quarl", "used_from": None, "used_to": ""}])
    mark = joined.marks["q"]
    assert (mark.letters, mark.frame, mark.arrangement, mark.used_from, mark.source) == (
        "Q",
        "none",
        "plain",
        None,
        "own",
    )
    assert "q" not in ref.marks

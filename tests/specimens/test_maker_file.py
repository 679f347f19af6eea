"""A maker's file: out and in again without loss; bad ones refused by key path with nothing saved."""

import json

import pytest

from catalogue.specimens.maker_file import (
    MAKER_FILE_BYTES,
    MakerFileError,
    read_maker_file,
    take_in,
    would_change,
    write_maker_file,
)
from catalogue.specimens.models import Bottler, Maker, MarkReading, OwnCode, OwnMark, Product, Works
from catalogue.specimens.services import Parts
from catalogue.specimens.services.makers import keep_maker
from tests import factories

pytestmark = pytest.mark.django_db


def tern_and_hollis() -> Maker:
    maker = Maker(
        name="Tern & Hollis Glass Works", place="Inchgate", country="GB", from_year=1901, source="ö"
    )
    works = Works(name="Quay works", town=factories.town("Marrowby", region="Velmoor"), from_year=1905)
    hexagon = OwnMark(
        letters="TH", frame="hexagon", arrangement="with-ampersand", from_year=1905, from_circa=True
    )
    plain = OwnMark(letters="THG", from_year=1920, to_year=1930, note="rare")
    two = OwnCode(kind="last-two-digits", position="right", bottler=factories.bottler(), works=works)
    signs = OwnCode(kind="dot-table", table=".=192X; ..=193X", contents="beer", valid_from=1920)
    return keep_maker(
        maker, works=[works], marks=[hexagon, plain], codes=[two, signs], only_marks=[(signs, [plain])]
    )


def emptied() -> None:
    for model in (OwnCode, OwnMark, Works, Maker, Bottler, Product):
        model.everything.all().delete()


def test_what_goes_out_comes_in_the_same():
    written = write_maker_file(tern_and_hollis())
    emptied()
    maker = take_in(read_maker_file(written.encode()))
    assert write_maker_file(maker) == written
    assert maker.works.get().town.name == "Marrowby"
    code = maker.own_codes.get(kind="last-two-digits")
    assert code.bottler.name == "Quill & Sons" and code.works.name == "Quay works"
    assert [m.letters for m in maker.own_codes.get(kind="dot-table").marks.all()] == ["THG"]


def test_the_file_says_what_it_is_and_has_the_columns_of_the_tables():
    whole = json.loads(write_maker_file(tern_and_hollis()))
    assert (whole["format"], whole["version"]) == ("siltmark-maker", 1)
    assert {"letters", "frame", "used_from", "window_of", "found_on"} <= whole["marks"][0].keys()
    assert {"kind", "position", "table", "valid_from", "mark_ids"} <= whole["codes"][0].keys()
    assert "own-" not in json.dumps(whole)


def test_writing_costs_no_more_with_more_rows(django_assert_num_queries):
    maker = tern_and_hollis()
    for n in range(5):
        OwnCode.objects.create(maker=maker, kind="last-digit", valid_from=1900 + n)
    # marks; codes, their marks; works with towns
    with django_assert_num_queries(4):
        write_maker_file(maker)


def good() -> dict:
    return {
        "format": "siltmark-maker",
        "version": 1,
        "maker": {"name": "Brackwater Bottle Company", "from": 1922},
        "works": [{"name": "Quay works"}],
        "marks": [{"id": "a", "letters": "BW", "symbol": "wave", "used_from": 1922, "used_to": 1950}],
        "codes": [{"kind": "last-digit", "position": "right", "valid_from": 1922, "mark_ids": "a"}],
    }


def bad(path: str, value: object) -> bytes:
    """The good file with one value changed, by its path."""
    whole = good()
    *way, last = [int(p) if p.isdigit() else p for p in path.replace("[", ".").replace("]", "").split(".")]
    spot = whole
    for step in way:
        spot = spot[step]
    spot[last] = value
    return json.dumps(whole).encode()


REFUSED = [
    ("format", "other", "format"),
    ("version", 2, "version"),
    ("version", True, "version"),
    ("colour", 1, "colour"),
    ("maker", [], "maker"),
    ("maker.name", "", "maker.name"),
    ("maker.name", None, "maker.name"),
    ("maker.name", 7, "maker.name"),
    ("maker.name", "n" * 201, "maker.name"),
    ("maker.name", "nul\x00", "maker.name"),
    ("maker.name", "half a pair \ud83c", "maker.name"),
    ("maker.from", 3000, "maker.from"),
    ("maker.from", "1922", "maker.from"),
    ("maker.from", True, "maker.from"),
    ("maker.to", 1900, "maker"),
    ("maker.nmae", "x", "maker.nmae"),
    ("works", {}, "works"),
    ("works[0].name", "", "works[0].name"),
    ("works", [{"name": "Quay works"}, {"name": "quay WORKS"}], "works[1].name"),
    ("works[0].town", 4, "works[0].town"),
    ("marks", [{"letters": "A"}] * 101, "marks"),
    ("marks[0]", "BW", "marks[0]"),
    ("marks[0].letters", "L" * 31, "marks[0].letters"),
    ("marks", [{"note": "neither"}], "marks[0]"),
    ("marks", [{"id": "a", "letters": "&"}], "marks[0].letters"),
    ("marks", [{"id": "a", "letters": "A"}, {"id": "a", "letters": "B"}], "marks[1].id"),
    ("marks[0].used_to", 1900, "marks[0]"),
    ("marks[0].used_to", 1900.5, "marks[0].used_to"),
    ("marks[0].from_circa", "true", "marks[0].from_circa"),
    ("marks[0].window_of", "year", "marks[0].window_of"),
    ("codes[0].kind", "runes", "codes[0].kind"),
    ("codes[0].kind", None, "codes[0].kind"),
    ("codes[0].position", "inside", "codes[0].position"),
    ("codes[0].contents", "gold", "codes[0].contents"),
    ("codes[0].mark_ids", "a;b", "codes[0].mark_ids"),
    ("codes[0].works", "Hill works", "codes[0].works"),
    ("codes[0].valid_to", 1900, "codes[0]"),
    ("codes", [{"kind": "letter-table"}], "codes[0].table"),
    ("codes", [{"kind": "letter-table", "table": "A=19"}], "codes[0].table"),
]


@pytest.mark.parametrize(("path", "value", "at"), REFUSED)
def test_a_bad_file_is_refused_by_its_key_in_one_sentence(path, value, at):
    read_maker_file(json.dumps(good()).encode())
    with pytest.raises(MakerFileError) as refusal:
        read_maker_file(bad(path, value))
    assert refusal.value.at == at
    assert refusal.value.message and "\n" not in refusal.value.message and ". " not in refusal.value.message
    assert not Maker.objects.own().exists()


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b"\xff\xfe\x00",
        b"[" * 5000,
        b'{"a":' * 30_000,
        b'{"version": NaN}',
        b'{"version": ' + b"9" * 5000 + b"}",
        b" " * (MAKER_FILE_BYTES + 1),
        b"__import__('os').abort()",
    ],
)
def test_what_is_no_such_file_is_refused(content):
    with pytest.raises(MakerFileError):
        read_maker_file(content)


def test_trying_out_says_how_many_years_change_and_leaves_no_trace():
    reading = MarkReading(letters="BW", symbol="wave", frame="none", right="6")
    find = factories.find("Ginger beer", Parts(readings=[reading]))
    before = find.made_words
    assert would_change(read_maker_file(json.dumps(good()).encode())) == 1
    find.refresh_from_db()
    assert find.made_words == before and not Maker.objects.own().exists() and not OwnMark.objects.exists()


def test_in_place_of_one_keeps_its_page_and_pieces():
    maker = factories.brackwater()
    reading = MarkReading(letters="BW", symbol="wave", frame="none", right="6")
    find = factories.find("Ginger beer", Parts(readings=[reading]))
    read = read_maker_file(bad("codes[0].valid_from", 1941))
    kept = take_in(read, in_place_of=maker)
    assert kept.pk == maker.pk and kept.slug == maker.slug and Maker.objects.own().count() == 1
    assert kept.own_marks.count() == kept.own_codes.count() == kept.works.count() == 1
    find.refresh_from_db()
    assert find.made_words == "1946" and find.maker_id == maker.pk

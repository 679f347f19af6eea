"""Filters by bottler, product, dive, year it came up, matches, visitors, gaps; and tidy addresses."""

import datetime
import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from catalogue.pages.finds.list.facets import FACETS
from catalogue.pages.finds.list.row_facets import MOST_CHOICES_LISTED
from catalogue.specimens.models import Bottler, KnownYears, Specimen, TwinGroup
from catalogue.specimens.services import Parts
from tests import factories

from .browse_parts import listed, said

pytestmark = pytest.mark.django_db


@pytest.fixture
def pieces(db) -> dict[str, Specimen]:
    """Four that differ in all of this: one that lacks nothing, one that lacks all."""
    marrowby, inchgate = factories.town("Marrowby"), factories.town("Inchgate")
    quill = factories.bottler("Quill & Sons", town=marrowby)
    far = factories.bottler("Quill & Sons", town=inchgate)
    beer = factories.product("Ginger beer", bottler=quill)
    heron = factories.site("Heron Ledge")
    group = TwinGroup.objects.create()
    return {
        "full": factories.find(
            "full",
            Parts(known=[KnownYears(what="seal", from_year=1900, to_year=1910)]),
            town=marrowby,
            bottler=quill,
            product=beer,
            dive=factories.dive(heron, datetime.date(2024, 12, 31)),
            place=factories.place("Hall case"),
            kind="soda",
            height_mm=190,
            twin_group=group,
        ),
        "twin": factories.find(
            "twin",
            bottler=far,
            dive=factories.dive(heron, datetime.date(2025, 1, 1)),
            twin_group=group,
            shared=True,
        ),
        "told": factories.find("told", site=heron, recovered_edtf="1995~"),
        "vague": factories.find("vague", recovered_edtf="199X", standing="lost"),
        "bare": factories.find("bare"),
    }


@pytest.mark.parametrize(
    ("query", "names"),
    [
        ("?bottler=quill-sons", {"full"}),
        ("?bottler=quill-sons&bottler=quill-sons-2", {"full", "twin"}),
        ("?bottler=-", {"told", "vague", "bare"}),
        ("?product=ginger-beer", {"full"}),
        ("?product=-&bottler=quill-sons-2", {"twin"}),
        ("?dive=2024.1", {"full"}),
        ("?dive=2024.1&dive=2025.1", {"full", "twin"}),
        ("?dive=-", {"told", "vague", "bare"}),
        # the last day of one year and the first of the next
        ("?came_up=2024", {"full"}),
        ("?came_up=2025", {"twin"}),
        ("?came_up=1995", {"told"}),
        ("?came_up=199X", {"vague"}),
        ("?came_up=1995&came_up=2024", {"told", "full"}),
        ("?came_up=-", {"bare"}),
        ("?match=yes", {"full", "twin"}),
        ("?match=no", {"told", "vague", "bare"}),
        ("?match=yes&match=no", {"full", "twin", "told", "vague", "bare"}),
        ("?shared=yes", {"twin"}),
        ("?shared=no", {"full", "told", "vague", "bare"}),
        ("?lacks=place", {"twin", "told", "bare"}),
        ("?lacks=from", {"bare"}),
        ("?lacks=years", {"twin", "told", "vague", "bare"}),
        ("?lacks=town", {"twin", "told", "vague", "bare"}),
        ("?lacks=bottler", {"told", "vague", "bare"}),
        ("?lacks=height&match=yes", {"twin"}),
        ("?lacks=nothing", {"full"}),
        ("?lacks=nothing&lacks=from", {"full", "bare"}),
    ],
)
def test_filters_narrow_any_within_one_and_all_between(owner_client, pieces, query, names):
    assert set(listed(owner_client, query)) == names


def offered(client, key: str, query: str = "") -> dict[str, int]:
    context = client.get(f"/finds/{query}").context
    group = next((g for g in [*context["panel"], *context["more_panel"]] if g.key == key), None)
    return {choice.value: choice.count for choice in (*group.choices, *group.more)} if group else {}


@pytest.mark.skipif(connection.vendor != "sqlite", reason="reads SQLite's own account of its plan")
@pytest.mark.parametrize("facet", [facet for facet in FACETS if facet.key != "picture"], ids=lambda f: f.key)
def test_the_numbers_beside_choices_are_counted_along_an_index(pieces, facet):
    """By the database's own account; pictures are looked for one by one."""
    with CaptureQueriesContext(connection) as asked:
        assert facet.counted(Specimen.objects.all()).total() == 5
    finds = [query["sql"] for query in asked if 'FROM "specimens_specimen"' in query["sql"]]
    assert len(finds) == 1
    with connection.cursor() as cursor:
        cursor.execute(f"EXPLAIN QUERY PLAN {finds[0]}")
        plan = " ".join(str(row[3]) for row in cursor.fetchall())
    assert re.search(r"SCAN specimens_specimen USING (COVERING )?INDEX find_count_", plan), plan
    # what is in no order of an index has to be read from it
    assert "TEMP B-TREE" not in plan or "COVERING" in plan or facet.key == "came_up"


@pytest.mark.parametrize("narrowed", ["", "?standing=kept&standing=lost"])
def test_the_numbers_beside_choices_are_what_choosing_them_leaves(owner_client, pieces, narrowed):
    """Counted from the indexes, and in one pass over a choice that leaves all: the same."""
    for key in ("bottler", "product", "dive", "came_up", "match", "shared", "lacks"):
        counts = offered(owner_client, key, narrowed)
        assert counts, key
        joined = f"{narrowed}&" if narrowed else "?"
        for value, count in counts.items():
            assert len(listed(owner_client, f"{joined}{key}={value}")) == count, (key, value)


def test_namesakes_are_told_apart_by_their_towns_and_years_latest_first(owner_client, pieces):
    context = owner_client.get("/finds/").context
    panel = {group.key: group.choices for group in [*context["panel"], *context["more_panel"]]}
    assert {c.label for c in panel["bottler"]} >= {"Quill & Sons, Marrowby", "Quill & Sons, Inchgate"}
    assert [c.label for c in panel["came_up"]] == ["2025", "2024", "the 1990s", "1995", "not known when"]
    assert any(c.label.endswith("Heron Ledge") and "2024" in c.label for c in panel["dive"])


@pytest.mark.parametrize(
    "query",
    [
        "?dive=2024.99",
        "?dive=2024",
        "?dive=99999999999999999999.1",
        "?came_up=soon",
        "?came_up=99999",
        "?came_up=0000",
        "?came_up=%EF%BF%BD",
        "?bottler=nobody",
        "?lacks=everything",
        "?match=perhaps",
        "?shared=1",
    ],
)
def test_what_no_filter_knows_is_left_out_and_said(owner_client, pieces, query):
    assert len(listed(owner_client, query)) == 5
    assert any("left out" in sentence for sentence in said(owner_client, query))


def test_two_thousand_bottlers_make_no_two_thousand_boxes(owner_client, pieces):
    town = factories.town("Brinemouth")
    many = Bottler.objects.bulk_create(
        Bottler(name=f"Bottler {n}", slug=f"bottler-{n}", town=town) for n in range(2000)
    )
    Specimen.objects.bulk_create(
        Specimen(
            what="jar",
            bottler=bottler,
            number=f"2020.0.{n}",
            number_year=2020,
            number_ordinal=0,
            number_piece=n,
        )
        for n, bottler in enumerate(many, start=1)
    )
    answer = owner_client.get("/finds/")
    text = answer.content.decode()
    assert text.count('name="bottler"') <= MOST_CHOICES_LISTED + 2
    assert "1942 more, each with fewer pieces" in text
    # any other is typed by its name
    answer = owner_client.get("/finds/?bottler_named=bottler+1987,+BRINEMOUTH&sort=&q=")
    assert answer.status_code == 302 and answer["Location"] == "/finds/?bottler=bottler-1987"
    assert listed(owner_client, "?bottler=bottler-1987") == ["jar"]


@pytest.mark.parametrize(
    ("typed", "address"),
    [
        ("q=&sort=&years_from=&town=&height_to=", ""),
        ("q=gin&sort=&stage=&stage=done", "?q=gin&stage=done"),
        ("bottler_named=quill", "?bottler=quill-sons&bottler=quill-sons-2"),
        (
            "bottler_named=QUILL+%26+SONS,+inchgate&bottler=quill-sons",
            "?bottler=quill-sons&bottler=quill-sons-2",
        ),
        ("product_named=ginger&page=3", "?product=ginger-beer"),
        ("view=table&col=town&q=", "?view=table&col=town"),
    ],
)
def test_addresses_carry_only_what_is_set(owner_client, pieces, typed, address):
    answer = owner_client.get(f"/finds/?{typed}")
    assert answer.status_code == 302 and answer["Location"] == f"/finds/{address}"


@pytest.mark.parametrize("typed", ["", "?", "?q=gin", "?page=2", "?tick=all&bottler=-"])
def test_an_address_that_says_nothing_in_vain_is_answered_at_once(owner_client, pieces, typed):
    assert owner_client.get(f"/finds/{typed}").status_code == 200


@pytest.mark.parametrize(
    ("name", "words"),
    [("nobody here", "No bottler is called “nobody here”"), ("x" * 5000, "No bottler is called")],
)
def test_a_name_that_nobody_bears_is_said(owner_client, pieces, name, words):
    answer = owner_client.get("/finds/", {"bottler_named": name}, follow=True)
    assert answer.status_code == 200 and words in str(list(answer.context["messages"])[0])
    assert answer.redirect_chain == [("/finds/", 302)]

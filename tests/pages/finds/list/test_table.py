"""The table of finds: columns chosen, in the address and remembered, sorted by its heads."""

import re
from copy import deepcopy

import pytest

from catalogue.pages.finds.list.columns import TABLE_COLUMNS, USUAL_COLUMNS
from catalogue.specimens.models import SavedView, Specimen
from tests import factories

from .browse_parts import five_pieces, listed, said

pytestmark = pytest.mark.django_db
TABLE = "/finds/?view=table"


def pieces_of_the_shelf() -> dict[str, Specimen]:
    pieces = five_pieces()
    for name, height in (("ink", "65"), ("crown", "240.5"), ("ginger", "190")):
        pieces[name].height_mm = height
        pieces[name].save(update_fields=["height_mm"])
    return pieces


@pytest.fixture(scope="module")
def made(module_rows) -> dict[str, Specimen]:
    return module_rows(pieces_of_the_shelf)


@pytest.fixture
def shelf(made, db) -> dict[str, Specimen]:
    return deepcopy(made)


def heads(client, query: str = "") -> list[str]:
    """What stands above the columns, after the box, the number and the name."""
    page = client.get(TABLE + query).content.decode()
    found = re.findall(r"<th [^>]*>(.*?)</th>", page.split("<thead>")[1].split("</thead>")[0])
    return [re.sub("<[^>]*>|[▴▾]", "", head).strip() for head in found][3:]


def row(client, name: str, query: str) -> list[str]:
    page = client.get(TABLE + query).content.decode()
    (found,) = [part for part in page.split("<tr>") if f">{name}</a>" in part]
    return [re.sub("<[^>]*>", "", cell).strip() for cell in re.findall(r"<td[^>]*>(.*?)</td>", found, re.S)][
        3:
    ]


def test_the_usual_columns_at_first(owner_client, shelf):
    assert heads(owner_client) == [column.label for column in USUAL_COLUMNS]


def test_columns_come_as_chosen_and_in_their_order(owner_client, shelf):
    assert heads(owner_client, "&col=height&col=town") == ["Height, mm", "Town"]
    assert row(owner_client, "Crown beer", "&col=height&col=town") == ["240.5", ""]
    assert row(owner_client, "Ink cone", "&col=town&col=height&col=site") == ["Marrowby", "65", "Tallow Cove"]


def test_every_column_can_be_shown(owner_client, shelf):
    every = "".join(f"&col={column.key}" for column in TABLE_COLUMNS)
    assert heads(owner_client, every) == [column.heading for column in TABLE_COLUMNS]
    cells = row(owner_client, "Aqua ginger-beer bottle", every)
    assert cells[:3] == ["Marrowby", "Brackwater Bottle Company likely", "one of 1926, 1936, 1946"]
    assert "2024-06-01" in cells and "aqua" in cells


def test_they_are_remembered_until_the_usual_ones_are_asked_for(owner_client, shelf):
    heads(owner_client, "&col=colour&col=made")
    assert heads(owner_client) == ["Colour", "Made"]
    assert heads(owner_client, "&col=usual") == [column.label for column in USUAL_COLUMNS]
    assert heads(owner_client) == [column.label for column in USUAL_COLUMNS]


def test_a_saved_view_brings_its_columns_back(owner_client, shelf):
    query = "view=table&col=height&col=town&sort=height"
    owner_client.post("/finds/views/", {"name": "By height", "query": query})
    heads(owner_client, "&col=usual")
    page = owner_client.get(f"/finds/views/{SavedView.objects.get().pk}/", follow=True)
    assert [column.key for column in page.context["columns"]] == ["height", "town"]


def test_one_to_the_left_and_one_to_the_right(owner_client, shelf):
    shown = owner_client.get(TABLE + "&col=height&col=town&col=made&q=e").context["column_choices"]
    first, second, third = shown[:3]
    assert (first.earlier, third.later) == ("", "")
    assert second.earlier == "?view=table&col=town&col=height&col=made&q=e#columns"
    assert second.later == "?view=table&col=height&col=made&col=town&q=e#columns"
    assert len(shown) == len(TABLE_COLUMNS) and not any(each.chosen for each in shown[3:])


def test_the_form_of_columns_keeps_what_else_is_chosen(owner_client, shelf):
    page = owner_client.get(TABLE + "&stage=done&stage=wet&page=1&col=town").content.decode()
    form = page.split('id="columns"')[1].split("</form>")[0]
    assert form.count('type="hidden"') == 3
    assert 'name="stage" value="done"' in form and 'name="stage" value="wet"' in form
    narrowing = page.split('id="find-filters"')[1].split("</form>")[0]
    assert '<input type="hidden" name="col" value="town">' in narrowing


@pytest.mark.parametrize(
    ("query", "names"),
    [
        ("sort=height", ["Ink cone", "Aqua ginger-beer bottle", "Crown beer"]),
        ("sort=-height", ["Crown beer", "Aqua ginger-beer bottle", "Ink cone"]),
        ("sort=maker", ["Aqua ginger-beer bottle"]),
        ("sort=site", ["Aqua ginger-beer bottle"]),
        ("sort=place", ["Aqua ginger-beer bottle"]),
        ("sort=contents", ["Aqua ginger-beer bottle"]),
        ("sort=kind", ["Aqua ginger-beer bottle", "Crown beer", "Case gin", "Ink cone"]),
    ],
)
def test_sorted_by_the_head_of_a_column(owner_client, shelf, query, names):
    assert listed(owner_client, f"?view=table&{query}")[: len(names)] == names


@pytest.mark.parametrize("order", [column.order for column in TABLE_COLUMNS if column.order])
def test_every_order_holds_all_pieces_both_ways(owner_client, shelf, order):
    for way in ("", "-"):
        assert len(listed(owner_client, f"?view=table&sort={way}{order}")) == 5
    page = owner_client.get(f"{TABLE}&sort=-{order}&col=made&col=came_up&col={order}").content.decode()
    assert 'aria-sort="descending"' in page


def test_stages_sort_as_the_work_goes(owner_client, shelf):
    stages = [card.find.stage for card in owner_client.get("/finds/?view=table&sort=stage").context["cards"]]
    assert stages == ["wet", "wet", "soaking", "done", "done"]


def test_an_unknown_column_is_said_and_left_out(owner_client, shelf):
    assert any("no column called “shine”" in each for each in said(owner_client, "?view=table&col=shine"))
    assert heads(owner_client, "&col=shine&col=town&col=town") == ["Town"]
    assert heads(owner_client, "&col=%EF%BF%BD") == ["Town"]


def test_markup_typed_stays_text_in_every_cell(owner_client, db):
    factories.find("Jar <i>", field_tag="<b>7", older_numbers="<script>", place=factories.place("<u>Hall"))
    page = owner_client.get(TABLE + "&col=tag&col=older&col=place").content.decode()
    assert "<script>" not in page.split("<tbody>")[1].split("</tbody>")[0]
    assert "&lt;b&gt;7" in page and "&lt;u&gt;Hall" in page


# As the list itself has it (35, and the names of bottlers), whatever its columns; once more where the columns
# are new to this browser, to remember them.
ASKED = 36


def test_columns_cost_no_query_of_their_own(owner_client, shelf, django_assert_num_queries):
    every = "".join(f"&col={column.key}" for column in TABLE_COLUMNS)
    for i in range(6):
        factories.find(
            f"more {i}",
            town=shelf["ginger"].town,
            bottler=factories.bottler(f"Bottler {i}"),
            dive=shelf["ginger"].dive,
            place=shelf["ginger"].place,
        )
    owner_client.get(TABLE + every)
    with django_assert_num_queries(ASKED):
        owner_client.get(TABLE + every)

"""Regional variants on the pages: one answer to tick, its country's years, and which row was taken."""

import re

import pytest

from tests.pages.finds.form.record_form import filled
from tests.pages.untold import untold


def answers(text: str) -> dict[str, tuple[bool, str]]:
    """Value → whether it is for other bottles, and its countries."""
    found = re.findall(
        r'class="see( unfit)?(?: further)?"[^>]*data-in="([^"]*)"[^>]*><input[^>]*value="([^"]*)"', text
    )
    return {value: (bool(unfit), sold) for unfit, sold, value in found}


@pytest.mark.parametrize(
    ("region", "wedge", "machine"),
    [("", True, False), ("UK", False, False), ("US", True, False), ("BR", True, True)],
)
def test_the_form_offers_a_look_once(owner_client, region, wedge, machine):
    offered = answers(owner_client.get(f"/finds/questions/?region={region}").content.decode())
    assert not {"machine-seam-uk", "crown-finish-de", "suction-scar-jp"} & set(offered)
    assert offered["string-rim-wedge"][0] is wedge and offered["machine-seam-over-finish"][0] is machine
    assert offered["crown-finish"] == (False, "any")
    assert {"US", "CA", "UK", "JP"} <= set(offered["machine-seam-over-finish"][1].split(";"))


def test_the_page_says_which_row_it_took(owner_client):
    text = owner_client.get("/date/?f=machine-seam-over-finish&region=UK").content.decode()
    assert "Machine-made seam, Britain" in text
    assert "the row for UK is taken in place of “Machine-made seam”" in text
    assert "taken in place" not in owner_client.get("/date/?f=machine-seam-over-finish").content.decode()


def test_a_find_that_was_kept_with_the_variant_itself_keeps_it(owner_client):
    """As one taken in from a file may be."""
    page = owner_client.post("/finds/new/", filled(**{"made-lip-shape": "crown-finish-uk"}))
    assert page.status_code == 302, page.content.decode()[:500]
    form = owner_client.get(f"{page['Location']}edit/")
    assert 'value="crown-finish-uk" checked' in form.content.decode()


def test_the_page_of_the_tables_says_what_a_row_stands_for(owner_client):
    text = untold(owner_client.get("/reference/?part=features&q=crown-finish-de").content.decode())
    assert "taken in place of “Crown cap finish” for such bottles" in text

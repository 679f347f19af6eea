"""Finds side by side, drawn to one scale."""

import re

import pytest

from catalogue.common.drawings.silhouette import standing
from catalogue.pages.parts.side_by_side import scaled_outlines
from catalogue.specimens.models import Specimen
from tests import factories
from tests.common.svg import parsed

pytestmark = pytest.mark.django_db


def drawn_height(svg: str) -> float:
    return float(re.search(r'height="([\d.]+)"', svg)[1])


def drawn_width(svg: str) -> float:
    return float(re.search(r'width="([\d.]+)"', svg)[1])


@pytest.mark.parametrize("kind", ["", *Specimen.Kind.values, "unheard of"])
def test_every_kind_stands_as_tall_as_it_is(kind):
    small, large = (standing(kind, height_mm=mm, px_per_mm=0.5) for mm in (100, 300))
    parsed(small)
    assert drawn_height(small) == pytest.approx(50, rel=0.08)
    assert drawn_height(large) == pytest.approx(3 * drawn_height(small), rel=1e-3)


def test_twice_as_wide_is_drawn_twice_as_wide():
    slim, stout = (standing("beer", height_mm=200, diameter_mm=mm, px_per_mm=1) for mm in (50, 100))
    assert drawn_width(stout) == pytest.approx(2 * drawn_width(slim), rel=0.06)
    assert drawn_height(stout) == pytest.approx(drawn_height(slim), rel=0.05)


def test_unmeasured_pieces_stand_as_tall_as_their_kind_and_are_marked():
    measured = factories.find("Ink cone", kind="ink", height_mm=65)
    guessed = factories.find("Demijohn", kind="jug")
    ink, jug = scaled_outlines([measured, guessed])
    assert (ink.measured, jug.measured) == (True, False)
    assert drawn_height(jug.drawing) > 3 * drawn_height(ink.drawing)


def test_the_list_and_a_place_show_the_board(owner_client):
    case = factories.place()
    factories.find('Jar "A" <b>', place=case, height_mm=180, colour="aqua")
    factories.find("Flask", place=case)
    for address in ("/finds/?view=shelf", f"/shelves/{case.pk}/"):
        page = owner_client.get(address).content.decode()
        assert page.count('class="standing-glass"') == 2
        assert 'class="glass-aqua"' in page
        assert "180 mm high" in page
        assert "not measured" in page
        assert "<b>" not in page.split('class="board"')[1].split("</ul>")[0]


def test_another_view_draws_none(owner_client):
    factories.find("Jar")
    assert "standing-glass" not in owner_client.get("/finds/").content.decode()
    assert "standing-glass" not in owner_client.get("/finds/?view=nonsense").content.decode()

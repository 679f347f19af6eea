"""Finds side by side as a plate of elevations, to one scale."""

import re

import pytest

from catalogue.common.drawings.silhouette import elevation, scale_bar
from catalogue.pages.parts.elevations import LEAST_PX_PER_MM, PX_PER_MM, elevations_of
from catalogue.photos.models import Photo
from catalogue.photos.services import take_in
from catalogue.specimens.models import Specimen
from tests import factories
from tests.common.svg import parsed
from tests.photos.drawn import jpeg

pytestmark = pytest.mark.django_db


def drawn_height(svg: str) -> float:
    return float(re.search(r'height="([\d.]+)"', svg)[1])


def drawn_width(svg: str) -> float:
    return float(re.search(r'width="([\d.]+)"', svg)[1])


@pytest.mark.parametrize("kind", ["", *Specimen.Kind.values, "unheard of"])
def test_every_kind_stands_as_tall_as_it_is(kind):
    small, large = (elevation(kind, height_mm=mm, px_per_mm=0.5) for mm in (100, 300))
    parsed(small)
    assert drawn_height(small) == pytest.approx(50, rel=0.08)
    assert drawn_height(large) == pytest.approx(3 * drawn_height(small), rel=1e-3)


def test_twice_as_wide_is_drawn_twice_as_wide():
    slim, stout = (elevation("beer", height_mm=200, diameter_mm=mm, px_per_mm=1) for mm in (50, 100))
    assert drawn_width(stout) == pytest.approx(2 * drawn_width(slim), rel=0.06)
    assert drawn_height(stout) == pytest.approx(drawn_height(slim), rel=0.05)


def test_the_bar_is_ten_centimetres_to_the_same_scale():
    assert drawn_height(scale_bar(100, 0.5)) == pytest.approx(50)
    finds = [factories.find("Wine bottle", kind="wine", height_mm=296)]
    plate = elevations_of(finds)
    assert plate.standing[0].height / 296 == pytest.approx(drawn_height(plate.bar.drawing) / 100, rel=0.01)


def test_unmeasured_pieces_stand_as_tall_as_their_kind():
    measured = factories.find("Ink cone", kind="ink", height_mm=65)
    guessed = factories.find("Demijohn", kind="jug")
    ink, jug = elevations_of([measured, guessed]).standing
    assert (ink.measured, jug.measured) == (True, False)
    assert drawn_height(jug.drawing) > 3 * drawn_height(ink.drawing)
    assert jug.height == pytest.approx(drawn_height(jug.drawing), abs=1)


def test_a_giant_makes_all_smaller_but_never_too_small_to_touch():
    jar, carboy, pillar = (factories.find(str(mm), kind="jug", height_mm=mm) for mm in (200, 450, 1500))
    assert elevations_of([jar]).standing[0].height == round(200 * PX_PER_MM)
    assert 200 * LEAST_PX_PER_MM < elevations_of([jar, carboy]).standing[0].height < 200 * PX_PER_MM
    assert elevations_of([jar, pillar]).standing[0].height == round(200 * LEAST_PX_PER_MM)


def with_cut(find, tint: int = 0, *, role: str = "after", size: tuple[int, int] = (100, 400)) -> Photo:
    """A picture of the find that a bottle was cut out of."""
    photo = take_in(jpeg(tint), subject=find, role=role)
    Photo.objects.filter(pk=photo.pk).update(cut_width=size[0], cut_height=size[1])
    return photo


@pytest.mark.usefixtures("data_folder")
def test_a_piece_stands_there_cut_out_of_its_picture_true_to_its_height(django_assert_num_queries):
    cut, drawn = factories.find("Beer", kind="beer", height_mm=240), factories.find("Jar", kind="jar")
    photo = with_cut(cut)
    # the pictures they are cut out of; the units of the bar
    with django_assert_num_queries(2):
        first, second = elevations_of([cut, drawn]).standing
    assert first.cut == photo and not first.drawing
    assert (first.height, first.width) == (round(240 * PX_PER_MM), round(60 * PX_PER_MM))
    assert second.cut is None and 'class="elevation"' in second.drawing


@pytest.mark.usefixtures("data_folder")
def test_the_list_and_a_place_show_the_plate(owner_client):
    case = factories.place()
    factories.find('Jar "A" <b>', place=case, height_mm=180, colour="aqua")
    photo = with_cut(factories.find("Flask", place=case))
    for address in ("/finds/?view=shelf", f"/shelves/{case.pk}/"):
        page = owner_client.get(address).content.decode()
        plate = page.split('class="elevations numbered"')[1].split("</ul>")[0]
        assert plate.count('class="elevation"') == 1 and plate.count("10 cm") == 1
        assert "glass-aqua" in plate
        assert f'src="/photos/{photo.pk}/cut.webp"' in plate
        assert "180 mm high" in plate and "height not recorded" in plate
        assert "<b>" not in plate


def test_another_view_draws_none(owner_client):
    factories.find("Jar")
    assert "elevations numbered" not in owner_client.get("/finds/").content.decode()
    assert "elevations numbered" not in owner_client.get("/finds/?view=nonsense").content.decode()

"""Outlines of vessels for finds without a picture."""

import pytest

from catalogue.common.drawings.profiles import NO_VESSEL, VESSEL_PROFILES
from catalogue.common.drawings.silhouette import silhouette
from tests.common.svg import numbers, of_class, parsed

WORDS = "soda beer medicine flask ink milk jar wine case torpedo poison cordial stopper other"
KINDS = [*sorted(set(WORDS.split())), NO_VESSEL]


def size(svg: str) -> tuple[float, float]:
    (vessel,) = of_class(parsed(svg), "vessel")
    values = numbers(vessel.get("d"))
    return max(values[::2]) - min(values[::2]), max(values[1::2]) - min(values[1::2])


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_stays_in_its_picture(kind):
    assert kind in VESSEL_PROFILES
    (vessel,) = of_class(parsed(silhouette(kind)), "vessel")
    assert all(
        token in "MLCZ" for token in vessel.get("d") if token.isalpha()
    )  # no lower case: absolute places
    values = numbers(vessel.get("d"))
    assert all(0 <= x <= 120 for x in values[::2]) and all(0 <= y <= 160 for y in values[1::2])
    assert sum(values[::2]) / len(values[::2]) == pytest.approx(60, abs=0.1)  # the same on both sides


def test_kinds_look_different():
    assert len({silhouette(kind) for kind in KINDS}) == len(KINDS)


def test_its_own_sizes_make_it_slim_or_stout():
    slim = size(silhouette("soda", height_mm=300, diameter_mm=50))
    stout = size(silhouette("soda", height_mm=120, diameter_mm=80))
    assert slim[0] / slim[1] == pytest.approx(50 / 300, rel=0.01)
    assert stout[0] / stout[1] == pytest.approx(80 / 120, rel=0.01)


def test_half_a_size_or_a_senseless_one_keeps_the_usual_shape():
    usual = size(silhouette("soda"))
    assert size(silhouette("soda", height_mm=300)) == usual
    assert size(silhouette("soda", height_mm=-1, diameter_mm=0)) == usual
    width, height = size(silhouette("soda", height_mm=1, diameter_mm=900))
    assert width <= 120 and height > 20


def test_a_kind_we_have_no_outline_for_is_drawn_plainly():
    root = parsed(silhouette('jug"><script>', words="A jug"))
    assert root.get("class") == "silhouette silhouette-jugscript"
    assert root.findtext("title") == "A jug"


def test_a_profile_of_its_own_is_drawn():
    width, height = size(silhouette(profile=[(0, 1), (1, 1)], height_mm=100, diameter_mm=50))
    assert width / height == pytest.approx(0.5, rel=0.01)

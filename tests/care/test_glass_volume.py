"""What a piece pushes aside and takes in."""

import math

import pytest

from catalogue.care.volume import glass_ml, inside_ml, outside_ml


def test_glass_from_mass_outline_or_not_at_all() -> None:
    assert glass_ml(mass_g=500).ml == pytest.approx(200)
    straight = outside_ml([(0, 1), (1, 1)], 200, 60)
    assert straight == pytest.approx(math.pi * 30**2 * 200 / 1000)
    assert glass_ml(outside=straight, capacity_ml=350).ml == pytest.approx(straight - 350)
    assert "guess" in glass_ml(outside=straight).how
    # a capacity that can't go into the outline is not believed
    assert glass_ml(outside=300, capacity_ml=350).how == "from its outline, a guess"
    assert "guess" in glass_ml(capacity_ml=350).how
    assert glass_ml().ml is None and "weigh" in glass_ml().how


def test_what_a_piece_takes_in() -> None:
    assert inside_ml(capacity_ml=350).ml == 350
    assert inside_ml(outside=574, mass_g=560).ml == pytest.approx(574 - 224)
    assert 0 < inside_ml(outside=574).ml < 574
    assert inside_ml().ml is None

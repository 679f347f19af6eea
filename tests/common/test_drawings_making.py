"""Sketches of how a bottle was made."""

from xml.etree import ElementTree

import pytest

import dating
from catalogue.common.drawings.lip import lip, width_at
from catalogue.common.drawings.lip_shapes import LIPS
from catalogue.common.drawings.making_sketch import BASE_SKETCHES, SIDE_SKETCHES, making_sketch
from catalogue.common.drawings.sketch_as import SKETCH_AS

FEATURES = dating.reference().features
SKETCHED = ("finish", "mould-seam", "pontil", "base-scar", "base-surface", "venting")


@pytest.mark.parametrize("feature", [f for f in FEATURES.values() if f.group in SKETCHED], ids=lambda f: f.id)
def test_each_lip_seam_and_scar_of_the_table_has_a_sketch(feature):
    assert making_sketch(feature.id).startswith("<svg")


def test_no_sketch_is_left_without_a_row_of_the_table():
    assert set(LIPS) | set(BASE_SKETCHES) | set(SIDE_SKETCHES) | set(SKETCH_AS) <= set(FEATURES)


def test_a_regional_variant_is_drawn_as_the_row_that_it_stands_in_for():
    drawn = [f for f in FEATURES.values() if f.variant_of and f.group in SKETCHED]
    assert len(drawn) > 15
    for variant in drawn:
        assert making_sketch(variant.id) == making_sketch(variant.variant_of), variant.id


@pytest.mark.parametrize("feature", [*LIPS, *BASE_SKETCHES, *SIDE_SKETCHES])
def test_a_sketch_is_sound_and_small(feature):
    drawn = making_sketch(feature)
    root = ElementTree.fromstring(drawn)
    assert root.get("aria-hidden") == "true"
    assert len(drawn) < 1_000


@pytest.mark.parametrize("feature", LIPS)
def test_a_lip_stays_inside_its_drawing_and_outside_its_bore(feature):
    shape = LIPS[feature]
    assert all(0 < half <= 30 and 0 <= up <= 45 for half, up in shape.outside)
    top = max(up for _, up in shape.outside)
    for half, up in shape.bore:
        if up < top - 3:
            assert half < width_at(shape.outside, up), f"the bore breaks through at {up}"


def test_the_side_seam_runs_as_high_as_the_words_say():
    """Seen how: table of features. Applied: just beneath the lip; machine-made: right through it."""
    machine, applied, tooled = (
        LIPS[name] for name in ("cork-finish-machine", "applied-finish", "tooled-finish")
    )
    assert machine.seam == max(up for _, up in machine.outside)
    assert applied.seam is not None and applied.added is not None and applied.seam <= applied.added
    assert tooled.seam is not None and tooled.seam < min(tooled.rings)


def test_a_sketch_standing_alone_says_what_it_shows():
    root = ElementTree.fromstring(lip("crown-finish", words="Crown cap finish"))
    assert root.get("role") == "img"
    assert root[0].text == "Crown cap finish"


def test_a_feature_without_a_sketch_leaves_the_words_alone():
    assert making_sketch("bar-code") == ""

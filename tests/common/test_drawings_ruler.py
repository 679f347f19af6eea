"""The year ruler: bands where years are likely, strokes for candidates, fading where a side is open."""

import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.common.drawings.large_ruler import (
    RulerLane,
    RulerYears,
    large_ruler,
    summed_ruler,
    year_lanes,
)
from catalogue.common.drawings.ruler import LABEL_REM, STEPS, small_ruler, year_labels
from catalogue.common.drawings.year_axis import BEYOND, WIDTH, YearAxis
from catalogue.common.drawings.year_curve import HEIGHT, even_curve
from tests.common.svg import numbers, of_class, parsed

AXIS = YearAxis(1900, 1960)
SCALE = AXIS.scale
BAND = [(year, 0.5) for year in range(1910, 1936)]
LEFT, RIGHT = "M0 40H25", "M975 40H1000"


def lane_of(label, first, last):
    """A lane that is simply there from one year to another; None leaves that side open."""
    return RulerLane(label, even_curve(first, last), False, first is None, last is None)


def xs(data):
    return numbers(data)[::2]


def spoken(root):
    return next(each.text for each in root.iter("title"))


def broken(root):
    """The path that is dotted at the ends where years lie beyond; empty where none do."""
    return "".join(each.get("d") for each in of_class(root, "rule-broken"))


def words_at(root, step):
    """Years in words at one step of closeness, each with its x in units."""
    (group,) = of_class(root, f"ruler-{step}")
    return [(each.text, float(each.get("x").rstrip("%")) * 10) for each in group.iter("text")]


def test_a_band_stands_over_its_years():
    root = parsed(small_ruler(AXIS, curve=BAND, window=(1910, 1935), words="about 1910 to 1935"))
    (band,) = of_class(root, "rule-band")
    assert min(xs(band.get("d"))) == pytest.approx(SCALE.x(1910), abs=0.01)
    assert max(xs(band.get("d"))) == pytest.approx(SCALE.x(1936), abs=0.01)
    assert spoken(root) == "Year ruler: about 1910 to 1935"
    assert not of_class(root, "rule-fade") and not broken(root)


def test_a_band_is_stretched_and_words_are_not():
    root = parsed(small_ruler(AXIS, curve=BAND, window=(1910, 1935)))
    (band,) = of_class(root, "ruler-band")
    assert band.get("preserveAspectRatio") == "none" and not list(band.iter("text"))
    (labels,) = of_class(root, "ruler-labels")
    assert labels.get("viewBox") is None and labels.get("aria-hidden") == "true"
    for text in labels.iter("text"):
        assert re.fullmatch(r"[\d.]+%|0", text.get("x"))
        assert text.get("font-size") is None


def test_a_likelier_year_stands_higher():
    curve = [(1920, 0.2), (1921, 0.2), (1922, 1.0), (1923, 0.6), (1924, 0.1)]
    (band,) = of_class(parsed(small_ruler(AXIS, curve=curve, window=(1920, 1924))), "rule-band")
    points = list(zip(numbers(band.get("d"))[::2], numbers(band.get("d"))[1::2], strict=True))
    highest = min(y for _, y in points)
    assert highest == 0
    tops = [x for x, y in points if y == highest]
    assert SCALE.x(1922) - 0.01 <= min(tops) and max(tops) <= SCALE.x(1923) + 0.01


def test_candidate_years_are_strokes_as_tall_as_they_are_likely():
    curve = [(1926, 0.25), (1936, 0.5), (1946, 0.25)]
    root = parsed(small_ruler(AXIS, curve=curve, years=[1926, 1936, 1946], window=(1926, 1946)))
    strokes = [numbers(each.get("d")) for each in of_class(root, "rule-tick")]
    assert [x for x, _, _ in strokes] == pytest.approx(
        [SCALE.middle(year) for year in (1926, 1936, 1946)], abs=0.01
    )
    heights = [base - top for _, base, top in strokes]
    assert heights[1] == pytest.approx(2 * heights[0]) == pytest.approx(2 * heights[2])


@pytest.mark.parametrize(
    ("window", "first", "last"),
    [((1930, None), "1", "0"), ((None, 1920), "0", "1"), ((1910, 1935), None, None)],
)
def test_an_open_side_fades_out(window, first, last):
    start, stop = window[0] or 1900, (window[1] or 1959) + 1
    root = parsed(small_ruler(AXIS, curve=[(y, 1.0) for y in range(start, stop)], window=window))
    stops = of_class(root, "rule-fade")
    if first is None:
        assert not stops
    else:
        assert (stops[0].get("stop-opacity"), stops[-1].get("stop-opacity")) == (first, last)
        (gradient,) = root.iter("linearGradient")
        (band,) = of_class(root, "rule-fading")
        assert band.get("fill") == f"url(#{gradient.get('id')})"


def test_years_beyond_an_end_fill_its_strip_and_break_the_axis_there():
    root = parsed(small_ruler(AXIS, curve=[(y, 1.0) for y in range(1940, 2000)], window=(1940, 1999)))
    (band,) = of_class(root, "rule-band")
    assert max(xs(band.get("d"))) == WIDTH and broken(root) == RIGHT
    older = parsed(small_ruler(AXIS, curve=[(1700, 1.0)], window=(1700, 1700)))
    (band,) = of_class(older, "rule-band")
    assert (min(xs(band.get("d"))), max(xs(band.get("d")))) == (0, BEYOND)
    assert broken(older) == LEFT


@given(first=st.integers(1500, 2020), length=st.integers(1, 300))
def test_every_band_is_within_the_axis_or_marked_broken(first, length):
    curve = [(year, 1.0) for year in range(first, first + length)]
    for years in (None, [first, first + length - 1]):
        root = parsed(small_ruler(AXIS, curve=curve, years=years, window=(first, first + length - 1)))
        before, after = first < 1900, first + length > 1960
        assert (LEFT in broken(root), RIGHT in broken(root)) == (before, after)
        drawn = of_class(root, "rule-band") + of_class(root, "rule-tick") + of_class(root, "rule-under")
        places = [x for each in drawn if not each.get("d").endswith("V0") for x in xs(each.get("d"))]
        assert all(0 <= x <= WIDTH for x in places)
        if years is None and len(places) > 2:
            assert (min(places) < BEYOND - 0.01, max(places) > WIDTH - BEYOND + 0.01) == (before, after)


def test_the_axis_shows_a_break_sign_where_the_catalogue_goes_on():
    assert len(of_class(parsed(year_labels(YearAxis(1900, 1960, before=True))), "rule-break")) == 1
    assert not of_class(parsed(year_labels(AXIS)), "rule-break")


def test_one_year_stays_visible_on_a_long_axis():
    root = parsed(small_ruler(YearAxis(1600, 2030), curve=[(1938, 1.0)], window=(1938, 1938)))
    assert len(of_class(root, "rule-tick")) == 1


def test_a_window_without_a_curve_is_drawn_evenly():
    (band,) = of_class(parsed(small_ruler(AXIS, window=(1922, 1950))), "rule-band")
    ends = min(xs(band.get("d"))), max(xs(band.get("d")))
    assert ends == pytest.approx((SCALE.x(1922), SCALE.x(1951)), abs=0.01)


def test_what_is_not_dated_has_no_ruler():
    assert small_ruler(AXIS) == large_ruler(AXIS, RulerYears()) == year_lanes(AXIS, RulerYears()) == ""
    assert summed_ruler(AXIS, curve=[], words="no finds") == ""


def test_the_same_years_stand_at_the_same_place_on_every_ruler():
    small = parsed(small_ruler(AXIS, curve=BAND, window=(1910, 1935)))
    large = parsed(large_ruler(AXIS, RulerYears(BAND, window=(1910, 1935))))
    summed = parsed(summed_ruler(AXIS, curve=BAND, words="x"))
    places = [
        (min(xs(d)), max(xs(d)))
        for root in (small, large, summed)
        for d in [of_class(root, "rule-band")[0].get("d")]
    ]
    assert len(set(places)) == 1


@pytest.mark.parametrize("step", STEPS, ids=lambda step: step.name)
@given(first=st.integers(150, 199), decades=st.integers(4, 40))
def test_years_in_words_never_touch_or_leave_the_ruler(step, first, decades):
    axis = YearAxis(first * 10, first * 10 + decades * 10)
    found = words_at(parsed(year_labels(axis)), step.name)
    width = LABEL_REM / step.from_rem * WIDTH
    assert found
    assert all(b - a >= width for (_, a), (_, b) in pairwise(found))
    assert all(width / 2 - 1 <= x <= WIDTH - width / 2 + 1 for _, x in found)


def test_a_large_ruler_has_a_lane_for_each_reason():
    lanes = [lane_of("Mark in use 1922–1950", 1922, 1950), RulerLane("Seam over the lip", BAND, True)]
    shown = RulerYears(BAND, window=(1922, 1935), lanes=lanes, words="1930")
    root = parsed(year_lanes(AXIS, shown))
    assert [each.text for each in root.iter("span")] == ["Mark in use 1922–1950", "Seam over the lip"]
    mark, seam = root.iter("li")
    ends = [x for each in of_class(mark, "rule-band") for x in xs(each.get("d"))]
    assert (min(ends), max(ends)) == pytest.approx((SCALE.x(1922), SCALE.x(1951)), abs=0.01)
    assert (mark.get("class"), seam.get("class")) == (None, "lane-soft")


def test_a_lane_open_to_the_right_fades_there():
    root = parsed(year_lanes(AXIS, RulerYears(BAND, lanes=[lane_of("Crown finish", 1905, None)])))
    stops = of_class(root, "rule-fade")
    assert (stops[0].get("stop-opacity"), stops[-1].get("stop-opacity")) == ("1", "0")


def test_a_lane_keeps_every_word():
    label = "Bottler in business until 1946, by the town directory of Port Ellarn and districts"
    assert label in year_lanes(AXIS, RulerYears(BAND, lanes=[lane_of(label, None, 1946)]))


def test_level_years_have_no_marker():
    root = parsed(large_ruler(AXIS, RulerYears(BAND, window=(1910, 1935), best=1922, words="about 1910")))
    assert not of_class(root, "ruler-above") and "most likely" not in spoken(root)


def test_a_year_that_stands_out_is_named_above_it():
    peaked = [(year, 1.0 if year == 1922 else 0.4) for year in range(1910, 1936)]
    root = parsed(large_ruler(AXIS, RulerYears(peaked, window=(1910, 1935), best=1922, words="about")))
    (above,) = of_class(root, "ruler-above")
    assert {each.text for each in above.iter("text")} == {"1922"}
    assert spoken(root) == "Year ruler: about, most likely 1922"


def test_candidate_years_are_named_above_their_strokes_unless_they_crowd():
    curve = [(year, 1.0) for year in (1926, 1928, 1946)]
    root = parsed(large_ruler(AXIS, RulerYears(curve=curve, years=[1926, 1928, 1946], best=1928)))
    (above,) = of_class(root, "ruler-above")
    assert [year for year, _ in words_at(above, "18")] == ["1928", "1946"]


def test_a_large_ruler_opens_the_end_where_its_years_lie():
    axis = YearAxis(1860, 1960, before=True)
    root = parsed(large_ruler(axis, RulerYears([(1795, 1.0), (1796, 1.0)], window=(1795, 1796))))
    opened = YearAxis(1790, 1960).scale
    (stroke,) = of_class(root, "rule-tick") or of_class(root, "rule-band")
    assert opened.x(1795) - 0.01 <= xs(stroke.get("d"))[0] <= opened.x(1797)
    assert not broken(root)
    small = parsed(small_ruler(axis, curve=[(1795, 1.0)], window=(1795, 1795)))
    assert broken(small) == LEFT


def test_a_sum_is_drawn_in_level_steps():
    root = parsed(summed_ruler(AXIS, curve=[(1910, 2.0), (1911, 1.0)], words="3 finds"))
    (band,) = of_class(root, "rule-band")
    heights = set(numbers(band.get("d"))[1::2])
    assert heights == {0, HEIGHT / 2, HEIGHT}
    assert spoken(root) == "Year ruler: 3 finds"


@given(
    curve=st.lists(st.tuples(st.integers(1590, 2030), st.floats(0, 1e6)), max_size=30),
    years=st.none() | st.lists(st.integers(1500, 2100), max_size=4),
    window=st.tuples(st.none() | st.integers(1600, 2026), st.none() | st.integers(1600, 2026)),
    words=st.text(max_size=30),
)
def test_anything_can_be_drawn(curve, years, window, words):
    shown = RulerYears(curve, years, window, 1900, [RulerLane(words, curve, open_left=True)], words)
    small = small_ruler(AXIS, curve=curve, years=years, window=window, words=words)
    drawings = (small, large_ruler(AXIS, shown), year_lanes(AXIS, shown))
    parsed(f"<div>{''.join(drawings)}{summed_ruler(AXIS, curve=curve, words=words)}{year_labels(AXIS)}</div>")


def test_a_row_is_light():
    busy = [(year, 1 + (year % 7) / 3) for year in range(1600, 2026)]
    assert len(small_ruler(YearAxis(1600, 2030), curve=busy, window=(1700, None))) < 10_000
    assert len(small_ruler(AXIS, curve=BAND, window=(1910, 1935))) < 3000
    assert len(small_ruler(AXIS, curve=BAND, window=(1910, 1935), labels=False)) < 1000

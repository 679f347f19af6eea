"""The year ruler: bands where years are likely, bars for candidates, fading where a side is open."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.common.drawings.large_ruler import (
    RulerLane,
    RulerYears,
    large_ruler,
    large_rulers,
    summed_ruler,
    summed_rulers,
)
from catalogue.common.drawings.ruler import even_curve, small_ruler
from catalogue.common.drawings.scale import YearScale
from tests.common.svg import numbers, of_class, parsed, said

SCALE = YearScale(1900, 1960, 180)
BAND = [(year, 0.5) for year in range(1910, 1936)]


def lane_of(label: str, first: int | None, last: int | None) -> RulerLane:
    """A lane that is simply there from one year to another; None leaves that side open."""
    return RulerLane(label, even_curve(first, last), False, first is None, last is None)


def xs(data: str) -> list[float]:
    return numbers(data)[::2]


def test_a_band_stands_over_its_years():
    root = parsed(small_ruler(SCALE, curve=BAND, window=(1910, 1935), words="about 1910 to 1935"))
    (band,) = of_class(root, "rule-band")
    assert min(xs(band.get("d"))) == pytest.approx(SCALE.x(1910))
    assert max(xs(band.get("d"))) == pytest.approx(SCALE.x(1936))
    assert said(root) == "Year ruler: about 1910 to 1935"
    assert not of_class(root, "rule-fade")


def test_a_likelier_year_stands_higher():
    curve = [(1920, 0.2), (1921, 0.2), (1922, 1.0), (1923, 0.6), (1924, 0.1)]
    (band,) = of_class(parsed(small_ruler(SCALE, curve=curve, window=(1920, 1924))), "rule-band")
    points = list(zip(numbers(band.get("d"))[::2], numbers(band.get("d"))[1::2], strict=True))
    highest = min(y for _, y in points)
    assert {x for x, y in points if y == highest} <= {SCALE.x(1922), SCALE.x(1923)}


def test_candidate_years_are_bars_as_tall_as_they_are_likely():
    curve = [(1926, 0.25), (1936, 0.5), (1946, 0.25)]
    root = parsed(small_ruler(SCALE, curve=curve, years=[1926, 1936, 1946], window=(1926, 1946)))
    bars = of_class(root, "rule-tick")
    middles = [float(bar.get("x")) + float(bar.get("width")) / 2 for bar in bars]
    assert middles == pytest.approx([SCALE.middle(year) for year in (1926, 1936, 1946)], abs=0.02)
    heights = [float(bar.get("height")) for bar in bars]
    assert heights[1] == pytest.approx(2 * heights[0]) == pytest.approx(2 * heights[2])
    assert all(float(bar.get("width")) >= 3 for bar in bars)


@pytest.mark.parametrize(
    ("window", "first", "last"),
    [((1930, None), "1", "0"), ((None, 1920), "0", "1"), ((1910, 1935), None, None)],
)
def test_an_open_side_fades_out(window, first, last):
    start, stop = window[0] or 1900, (window[1] or 1959) + 1
    root = parsed(small_ruler(SCALE, curve=[(y, 1.0) for y in range(start, stop)], window=window))
    stops = of_class(root, "rule-fade")
    if first is None:
        assert not stops
    else:
        assert (stops[0].get("stop-opacity"), stops[-1].get("stop-opacity")) == (first, last)
        (gradient,) = root.iter("linearGradient")
        (band,) = of_class(root, "rule-fading")
        assert band.get("fill") == f"url(#{gradient.get('id')})"


def test_years_beyond_the_scale_fade_at_its_edge_or_point_there():
    root = parsed(small_ruler(SCALE, curve=[(y, 1.0) for y in range(1940, 2000)], window=(1940, 1999)))
    assert of_class(root, "rule-fade")[-1].get("stop-opacity") == "0"
    far = parsed(small_ruler(SCALE, curve=[(1700, 1.0)], window=(1700, 1700)))
    (arrow,) = of_class(far, "rule-arrow")
    assert min(xs(arrow.get("d"))) < SCALE.left + 5


def test_one_year_stays_visible_on_a_long_scale():
    root = parsed(small_ruler(YearScale(1600, 2030, 180), curve=[(1938, 1.0)], window=(1938, 1938)))
    assert len(of_class(root, "rule-tick")) == 1


def test_a_window_without_a_curve_is_drawn_evenly():
    (band,) = of_class(parsed(small_ruler(SCALE, window=(1922, 1950))), "rule-band")
    assert (min(xs(band.get("d"))), max(xs(band.get("d")))) == (SCALE.x(1922), SCALE.x(1951))


def test_not_yet_dated_is_an_empty_scale():
    root = parsed(small_ruler(SCALE))
    assert of_class(root, "rule-empty") and not of_class(root, "rule-band") + of_class(root, "rule-tick")
    assert said(root) == "Year ruler: not yet dated"


def test_a_large_ruler_has_a_lane_for_each_reason():
    lanes = [lane_of("Mark in use 1922–1950", 1922, 1950), RulerLane("Seam over the lip", BAND, True)]
    root = parsed(
        large_ruler(SCALE, RulerYears(curve=BAND, window=(1922, 1935), best=1930, lanes=lanes, words="1930"))
    )
    assert [each.text for each in of_class(root, "lane-label")] == [
        "Mark in use 1922–1950",
        "Seam over the lip",
    ]
    scale = SCALE.resized(624, 8)
    (lane,) = of_class(root, "lane")
    assert min(xs(lane.get("d"))) == pytest.approx(scale.x(1922), abs=0.01)
    assert max(xs(lane.get("d"))) == pytest.approx(scale.x(1951), abs=0.01)
    assert len(of_class(root, "lane-soft")) == 1
    assert "1930" in [each.text for each in of_class(root, "rule-best")]
    assert "most likely 1930" in said(root) and "Seam over the lip" in said(root)


def test_a_lane_open_to_the_right_fades_there():
    root = parsed(large_ruler(SCALE, RulerYears(curve=BAND, lanes=[lane_of("Crown finish", 1905, None)])))
    stops = of_class(root, "lane-fade")
    assert (stops[0].get("stop-opacity"), stops[-1].get("stop-opacity")) == ("1", "0")


def test_both_widths_come_together_with_letters_of_the_same_true_size():
    root = parsed(
        large_rulers(SCALE, RulerYears(curve=BAND, window=(1910, 1935), words="about 1910 to 1935"))
    )
    wide = of_class(root, "ruler-wide")[0].get("viewBox").split()
    narrow = of_class(root, "ruler-narrow")[0].get("viewBox").split()
    assert (wide[2], narrow[2]) == ("640", "340")
    sizes = [float(each.get("font-size")) for each in of_class(root, "rule-label")]
    assert min(sizes) >= 12


def test_long_words_stay_within_the_phone_and_lose_only_their_end():
    label = "Bottler in business until 1946, by the town directory of Port Ellarn and districts"
    root = parsed(large_ruler(SCALE, RulerYears(curve=BAND, lanes=[lane_of(label, None, 1946)]), narrow=True))
    (shown,) = of_class(root, "lane-label")
    assert shown.text.endswith("…") and label.startswith(shown.text[:-1])
    assert label in said(root)


def test_candidate_years_are_named_above_their_bars_unless_they_crowd():
    curve = [(year, 1.0) for year in (1926, 1928, 1946)]
    root = parsed(
        large_ruler(SCALE, RulerYears(curve=curve, years=[1926, 1928, 1946], best=1928), narrow=True)
    )
    labels = [each for each in root.iter("text") if each.text in ("1926", "1928", "1946")]
    assert [each.text for each in labels] == ["1928", "1946"]
    assert labels[0].get("class") == "rule-best"


def test_a_summed_ruler_shows_sum_envelope_and_dates():
    low, high = [(y, 0.2) for y, _ in BAND], [(y, 1.0) for y, _ in BAND]
    root = parsed(
        summed_ruler(
            SCALE, curve=BAND, low=low, high=high, marks=[(1946, "not laid before")], words="23 finds"
        )
    )
    (envelope,) = of_class(root, "rule-envelope")
    curve, floor = of_class(root, "rule-band")
    tops = [min(numbers(each.get("d"))[1::2]) for each in (envelope, curve, floor)]
    assert tops == sorted(tops)
    assert "not laid before: 1946" in said(root)
    assert len(of_class(root, "rule-flag")) == 1
    assert len(of_class(parsed(summed_rulers(SCALE, curve=BAND, words="x")), "ruler")) == 2


def test_an_empty_sum_is_an_empty_scale():
    assert not of_class(parsed(summed_ruler(SCALE, curve=[], words="no finds")), "rule-band")


@given(
    curve=st.lists(st.tuples(st.integers(1590, 2030), st.floats(0, 1e6)), max_size=30),
    years=st.none() | st.lists(st.integers(1500, 2100), max_size=4),
    window=st.tuples(st.none() | st.integers(1600, 2026), st.none() | st.integers(1600, 2026)),
    words=st.text(max_size=30),
)
def test_anything_can_be_drawn(curve, years, window, words):
    lanes = [RulerLane(words, curve, open_left=True)]
    parsed(small_ruler(SCALE, curve=curve, years=years, window=window, words=words))
    parsed(
        large_rulers(
            SCALE, RulerYears(curve=curve, years=years, window=window, best=1900, lanes=lanes, words=words)
        )
    )
    parsed(summed_rulers(SCALE, curve=curve, high=curve, marks=[(1700, words)], words=words))


def test_a_card_is_light():
    busy = [(year, 1 + (year % 7) / 3) for year in range(1600, 2026)]
    assert len(small_ruler(YearScale(1600, 2030, 180), curve=busy, window=(1700, None))) < 9000
    assert len(small_ruler(SCALE, curve=BAND, window=(1910, 1935))) < 1800

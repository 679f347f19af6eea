"""A soak's readings as a plot: both axes say their units, and words keep their size."""

import re
from datetime import timedelta

import pytest
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from catalogue.care.models import Soak, SoakReading
from catalogue.care.soak_plot import _value_scale, plot_of
from tests.common.svg import of_class, parsed

pytestmark = pytest.mark.django_db


def soaked(*readings: tuple[float, float], **given) -> Soak:
    """A soak with readings: (days after it began, value)."""
    began = timezone.now() - timedelta(days=30)
    soak = Soak.objects.create(name="Blue crate", began_at=began, **given)
    for days, value in readings:
        SoakReading.objects.create(soak=soak, at=began + timedelta(days=days), value=value)
    return soak


def percent(element, name):
    return float(element.get(name).rstrip("%"))


def test_both_axes_say_their_units():
    root = parsed(plot_of(soaked((0, 4100), (9, 600), (18, 210), tap=180)))
    units = [each.text for each in of_class(root, "plot-unit")]
    assert units[0] == "µS/cm" and re.fullmatch(r"days since \d{1,2} [A-Z][a-z]{2}", units[1])
    (values,) = of_class(root, "plot-values")
    assert [each.text for each in values.iter("text")] == ["100", "200", "500", "1,000", "2,000", "5,000"]
    (moments,) = of_class(root, "plot-moments")
    assert [each.text for each in moments.iter("text")] == ["0", "5", "10", "15"]
    assert next(root.iter("title")).text == "3 readings over 18 days, from 4100 to 210 µS/cm"


def test_a_value_stands_at_its_height_between_the_values_that_are_written():
    root = parsed(plot_of(soaked((0, 1000), (1, 100), (4, 10))))
    places = [percent(dot, "cy") for dot in of_class(root, "plot-dot")]
    assert places == pytest.approx([0, 50, 100])
    assert [percent(dot, "cx") for dot in of_class(root, "plot-dot")] == pytest.approx([0, 25, 100])


def test_less_than_two_days_are_told_in_hours():
    root = parsed(plot_of(soaked((0, 900), (0.5, 300))))
    (moments,) = of_class(root, "plot-moments")
    assert [each.text for each in moments.iter("text")] == ["0", "3", "6", "9", "12"]
    assert re.fullmatch(r"hours since .*, \d\d:\d\d", of_class(root, "plot-unit")[1].text)


def test_chloride_is_told_in_its_own_unit():
    root = parsed(plot_of(soaked((0, 900), (3, 30), unit="cl")))
    assert of_class(root, "plot-unit")[0].text == "mg/l chloride"


def test_words_are_not_stretched():
    root = parsed(plot_of(soaked((0, 900), (3, 30), tap=20)))
    for svg in root.iter("svg"):
        if svg.get("viewBox"):
            assert svg.get("preserveAspectRatio") == "none" and not list(svg.iter("text"))


def test_one_reading_is_no_plot():
    assert plot_of(soaked((0, 900))) == ""


@given(st.lists(st.floats(0, 1e6), min_size=1, max_size=9))
def test_the_scale_holds_every_value_in_few_steps(values):
    scale = _value_scale(values)
    assert 2 <= len(scale) <= 8 and scale == sorted(set(scale))
    assert all(scale[0] <= max(1.0, value) <= scale[-1] for value in values)

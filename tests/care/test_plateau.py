"""When soaking is done."""

from datetime import UTC, datetime, timedelta

import pytest

from catalogue.care.plateau import PlateauRule, WaterReading, in_words, judge_plateau, readings_of

DAY, HOUR = timedelta(days=1), timedelta(hours=1)
BEGAN = datetime(2026, 3, 1, 9, tzinfo=UTC)


def daily(values) -> list[WaterReading]:
    """Readings each after a day in the same water."""
    return [WaterReading(value, DAY) for value in values]


@pytest.mark.parametrize(
    ("values", "tap", "ready", "says"),
    [
        ([], 200, False, "3 more readings"),
        ([220, 215], 200, False, "1 more reading "),
        ([4000, 900, 410, 260], 200, False, "Still moving"),
        ([260, 262, 258], 200, False, "above the tap"),
        ([212, 214, 210], 200, True, "ready"),
        ([4000, 212, 214, 210], 200, True, "ready"),
        ([212, 214, 210], None, False, "tap water has not been measured"),
        # below the tap (rain or distilled water) is no reason to go on
        ([150, 151, 149], 200, True, "ready"),
        ([0, 0, 0], 0, True, "ready"),
    ],
)
def test_the_usual_rule(values, tap, ready, says) -> None:
    level = judge_plateau(daily(values), tap)
    assert level.ready is ready
    assert says in level.words


def test_the_rule_is_settable_and_says_itself() -> None:
    strict = PlateauRule(last=4, within=0.01, near_tap=0.02, stands=timedelta(days=3))
    assert not judge_plateau(daily([212, 214, 210]), 200, strict).ready
    long = [WaterReading(value, 3 * DAY) for value in (201, 201, 202, 201)]
    assert judge_plateau(long, 200, strict).ready
    assert "last 4 readings within 1%" in strict.words and "each after 3 days or more" in strict.words


def test_fresh_water_reads_like_the_tap_and_proves_nothing() -> None:
    """Three readings within minutes of a change are the tap's own, whatever is still in the glass."""
    minutes = [BEGAN + DAY + timedelta(minutes=each) for each in (2, 4, 6)]
    rows = [(BEGAN + DAY, 4100.0, True), *((at, 205.0, False) for at in minutes)]
    level = judge_plateau(readings_of(rows, BEGAN), 200)
    assert not level.ready
    assert level.words == (
        "2 more readings before anything can be said. The last reading doesn't count: "
        "6 minutes after fresh water; counts from 18 hours on."
    )


def test_a_hasty_reading_neither_helps_nor_harms_those_that_count() -> None:
    rows = [(BEGAN + day * DAY, value, True) for day, value in ((1, 212.0), (2, 214.0), (3, 210.0))]
    rows.append((BEGAN + 3 * DAY + HOUR, 290.0, False))
    level = judge_plateau(readings_of(rows, BEGAN), 200)
    assert level.ready and "1 hour after fresh water" in level.words


def test_a_piece_that_came_in_later_begins_the_standing_anew() -> None:
    rows = [(BEGAN + day * DAY, value, True) for day, value in ((1, 212.0), (2, 214.0), (3, 210.0))]
    assert judge_plateau(readings_of(rows, BEGAN, [BEGAN]), 200).ready
    late = BEGAN + 3 * DAY + HOUR
    level = judge_plateau(readings_of(rows, BEGAN, [BEGAN, late]), 200)
    assert not level.ready and "before the newest piece came in" in level.words
    rows.append((late + 2 * HOUR, 230.0, False))
    last = readings_of(rows, BEGAN, [BEGAN, late])[-1]
    assert last.stood == 2 * HOUR and not last.before_newest


def test_a_clock_set_back_counts_as_no_standing() -> None:
    assert readings_of([(BEGAN - HOUR, 210.0, False)], BEGAN)[0].stood == timedelta(0)


@pytest.mark.parametrize(
    ("span", "words"),
    [
        (timedelta(0), "0 minutes"),
        (timedelta(minutes=1), "1 minute"),
        (timedelta(minutes=59), "59 minutes"),
        (HOUR, "1 hour"),
        (18 * HOUR, "18 hours"),
        (2 * DAY, "2 days"),
    ],
)
def test_lengths_of_time_as_one_says_them(span, words) -> None:
    assert in_words(span) == words

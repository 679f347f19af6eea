"""Sets of years: meeting, joining, open sides."""

from dating.years import EVER, ends, joined, meet, meet_all, span, spans_of, years_in


def test_meeting_of_stretches() -> None:
    assert meet(span(1900, 1950), span(1940, None)) == ((1940, 1950),)
    assert meet(span(None, 1900), span(1901, None)) == ()
    assert meet(spans_of([1926, 1936, 1946]), span(1930, 1946)) == ((1936, 1936), (1946, 1946))


def test_neighbours_run_together() -> None:
    assert joined([(1900, 1905), (1906, 1910), (1920, 1921)]) == ((1900, 1910), (1920, 1921))


def test_meeting_of_none_is_ever() -> None:
    assert meet_all([]) == EVER
    assert ends(EVER) == (None, None)
    assert ends(()) == (None, None)


def test_listing() -> None:
    assert years_in(((1900, 1902), (1905, 1905))) == (1900, 1901, 1902, 1905)

"""The years considered and the belief before anything is read."""

import pytest

from dating.constants import ASSUMPTIONS
from dating.years import axis_to


def share(last: int, start: int, end: int) -> float:
    axis = axis_to(last)
    return sum(p for year, p in zip(axis.years, axis.prior, strict=True) if start <= year <= end)


def test_periods_have_their_shares() -> None:
    assert share(2026, 1600, 1749) == pytest.approx(0.154)
    assert share(2026, 1750, 1849) == pytest.approx(0.257)
    assert share(2026, 1850, 1985) == pytest.approx(0.559)
    assert share(2026, 1986, 2026) == pytest.approx(0.03)


def test_there_is_no_step_before_the_last_period() -> None:
    """A step pulls level years to it: from one year to the next the prior rises by at most a thirtieth."""
    axis = axis_to(2026)
    for year in range(1600, 1985):
        here, then = axis.prior[year - 1600], axis.prior[year + 1 - 1600]
        assert -0.005 < then / here - 1 < 1 / 30, year
    assert axis.prior[1900 - 1600] == pytest.approx(0.559 / 136)
    assert axis.prior[1849 - 1600] == pytest.approx(4 * axis.prior[1750 - 1600])
    assert axis.prior[-1] == pytest.approx(0.03 / 41)


def test_early_recovery_ends_the_axis_and_sums_to_one() -> None:
    axis = axis_to(1950)
    assert axis.last == 1950
    assert sum(axis.prior) == pytest.approx(1)
    assert share(1950, 1600, 1749) == pytest.approx(0.154 / 0.97)


def test_prior_can_be_replaced() -> None:
    axis = axis_to(2000, ((1900, 1949, 1.0, 1.0), (1950, 1999, 3.0, 1.0)))
    assert axis.prior[1899 - 1600] == 0
    assert axis.prior[1999 - 1600] == pytest.approx(3 * axis.prior[1949 - 1600])


def test_a_prior_without_a_year_is_refused() -> None:
    with pytest.raises(ValueError, match="no year"):
        axis_to(1900, ((1950, 1960, 1.0, 1.0),))


def test_every_own_number_has_its_reason() -> None:
    assert len(ASSUMPTIONS) > 25
    assert all(a.name and a.unit and len(a.reason) > 5 for a in ASSUMPTIONS)
    assert len({a.name for a in ASSUMPTIONS}) == len(ASSUMPTIONS)

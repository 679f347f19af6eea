"""Highest level sets, against published and hand-computed values."""

import json
from pathlib import Path
from typing import Any

import pytest

from dating.years import level_set

CASES = {
    case["id"]: case
    for case in json.loads((Path(__file__).parent / "chronology_cases.json").read_text(encoding="utf-8"))[
        "cases"
    ]
}


def dense(pmf: dict[str, float]) -> tuple[list[float], int]:
    years = sorted(map(int, pmf))
    return [pmf.get(str(year), 0.0) for year in range(years[0], years[-1] + 1)], years[0]


@pytest.mark.parametrize("name", ["hdi_1_2", "hdi_8_10", "hdi_9_10"])
def test_one_of_several_years(name: str) -> None:
    case = CASES[name]
    found = level_set(*dense(case["pmf"]), case["mass"])
    assert [[run.start, run.end] for run in found] == case["segments"]
    assert sum(run.probability for run in found) == pytest.approx(case["covered"])


@pytest.mark.parametrize(("mass", "key"), [(0.95, "95"), (0.68, "68")])
def test_triangle(mass: float, key: str) -> None:
    case: dict[str, Any] = CASES["hdi_triangle"]
    found = level_set(*dense(case["pmf"]), mass)
    spans = [[run.start, run.end] for run in found]
    covered = sum(run.probability for run in found)
    # the years of equal chance beside the published set come in with it: ties are never split
    assert all(any(a <= lo and hi <= b for a, b in spans) for lo, hi in case[f"hdi{key}"])
    assert covered >= case[f"covered{key}"] - 1e-9


def test_ties_all_come_in() -> None:
    found = level_set([0.25, 0.25, 0.25, 0.25], 1900, 0.5)
    assert [(run.start, run.end) for run in found] == [(1900, 1903)]
    assert found[0].probability == pytest.approx(1)


def test_whole_mass() -> None:
    assert level_set([0.5, 0.5], 1900, 1.0)[0].end == 1901

"""Calibration: are windows and sets of years right as often as they say? By their width, and on what is known.

``python -m tests.benchmarks calibration [bottles]``. The bottles are simulated from the model (see
``consistency``): letters are worn, misread and lost, codes are mould numbers now and then. The published
examples are the dated bottles of ``tests/dating/worked_examples.json``.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median

from dating import Case, Finding, Reference, assess, reference
from tests.benchmarks.consistency import Seabed, holds
from tests.dating.worked import EXAMPLES, finding_of

WIDTHS = ((1, 5), (6, 40), (41, 70), (71, 10_000))


@dataclass(frozen=True, slots=True)
class Reliability:
    """How many answers were so wide, and how many of these held the true year."""

    widths: tuple[int, int]
    answers: int
    held: int

    @property
    def share(self) -> float:
        """1 where there was none."""
        return self.held / self.answers if self.answers else 1.0

    @property
    def words(self) -> str:
        """For a person."""
        low, high = self.widths
        span = f"{low} to {high} years" if high < 10_000 else f"more than {low - 1} years"
        return f"{span}: {self.answers}, of which {self.share:.1%} hold the true year"


Found = tuple[int, Finding]


def simulated(ref: Reference, bottles: int, seed: int = 1) -> list[Found]:
    """True years and findings."""
    bed = Seabed(ref, seed)
    drawn = (bed.bottle() for _ in range(bottles))
    return [(year, assess(Case.from_dict(case, ref), ref)) for year, case in drawn]


def published(ref: Reference) -> list[Found]:
    """The middle of the published years, and findings."""
    return [((e["published_from"] + e["published_to"]) // 2, finding_of(e, ref)) for e in EXAMPLES]


def windows_by_width(found: Iterable[Found]) -> list[Reliability]:
    """Headline windows that are closed, or separate years; by how many years they name."""
    sizes = [
        (len(f.years) if f.years else f.window[1] - f.window[0] + 1, _window_holds(f, year))
        for year, f in found
        if f.window and None not in f.window
    ]
    return _by_width(sizes)


def sets_by_width(found: Iterable[Found]) -> list[Reliability]:
    """The 90 % sets, by how many years they hold."""
    return _by_width(
        [(sum(r.end - r.start + 1 for r in f.likely), holds(f.likely, year)) for year, f in found]
    )


def _window_holds(finding: Finding, year: int) -> bool:
    assert finding.window is not None
    low, high = finding.window
    return year in finding.years if finding.years else (low or 0) <= year <= (high or 9999)


def _by_width(sizes: list[tuple[int, bool]]) -> list[Reliability]:
    return [
        Reliability((low, high), len(held := [ok for size, ok in sizes if low <= size <= high]), sum(held))
        for low, high in WIDTHS
    ]


@dataclass(frozen=True, slots=True)
class Stated:
    """Of bottles whose evidence agrees: how many get a window, and the median width of the closed ones."""

    bottles: int
    windows: int
    closed: int
    width: float


def stated(found: Iterable[Found]) -> Stated:
    """Bottles that nothing contradicts and that say something at all."""
    agree = [f for _, f in found if not f.conflicts and f.pieces]
    closed = [f.window[1] - f.window[0] + 1 for f in agree if f.window and None not in f.window]
    return Stated(len(agree), sum(f.window is not None for f in agree), len(closed), median(closed))


def main(bottles: int = 4_000) -> None:
    """Print every figure."""
    ref = reference()
    found = simulated(ref, bottles)
    for title, answers in (
        ("Simulated bottles", found),
        ("Published examples (their middle year)", published(ref)),
    ):
        print(f"{title}: {len(answers)}")
        for kind, lines in (("windows", windows_by_width(answers)), ("90 % sets", sets_by_width(answers))):
            for line in lines:
                print(f"  {kind} of {line.words}")
        for name, share in (
            ("90 %", sum(holds(f.likely, y) for y, f in answers)),
            ("50 %", sum(holds(f.half, y) for y, f in answers)),
        ):
            print(f"  {name} sets hold it in {share / len(answers):.1%}")
    agree = stated(found)
    print(
        f"Of {agree.bottles} simulated bottles that nothing contradicts {agree.windows} get a window; "
        f"{agree.closed} are closed, {agree.width:g} years wide in the median"
    )

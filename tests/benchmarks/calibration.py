"""Calibration: are windows and sets of years right as often as they say? By width, and on what is known.

``python -m tests.benchmarks calibration [bottles]``. The bottles are simulated from the model (see
``consistency``): letters are worn, misread and lost, codes are mould numbers now and then. The published
examples are the dated bottles of ``tests/dating/worked_examples.json``.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median

from dating import Case, Finding, Reference, Window, assess, reference
from dating.assess import pieces_of
from dating.window import bounds
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
        (len(f.years) if f.years else _width(f.window), _window_holds(f, year))
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
class Kept:
    """Of windows that readings alone would give: how many are stated, and the widths of those closed."""

    read: int
    stated: int
    read_width: float
    stated_width: float

    @property
    def words(self) -> str:
        """For a person."""
        return (
            f"of {self.read} windows that evidence without a contradiction gives as it is read, "
            f"{self.stated / self.read:.1%} are stated; in the median {self.stated_width:g} years wide "
            f"instead of {self.read_width:g}"
        )


def kept(found: Iterable[Found]) -> Kept:
    """The headline beside the window before the posterior decides which marks bound it."""
    read, stated, pairs = 0, 0, []
    for _, finding in found:
        plain = bounds(pieces_of(finding.case, finding.span, finding.case.own or finding.ref), finding.span)
        if finding.conflicts or plain.window is None:
            continue
        read += 1
        if finding.window:
            stated += 1
            if None not in plain.window and None not in finding.window:
                pairs.append((_width(plain.window), _width(finding.window)))
    return Kept(read, stated, median(pair[0] for pair in pairs), median(pair[1] for pair in pairs))


def _width(window: Window) -> int:
    assert window.start is not None and window.end is not None
    return window.end - window.start + 1


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
    print(f"Simulated: {kept(found).words}")

"""The marks of the tables side by side, prepared for weighing them all against one reading."""

from collections import Counter
from collections.abc import Iterable, Mapping

from .constants import TABLED_SHARE
from .rows import DateCode, Mark
from .spellings import Spellings

ONE_FIGURE = ("monogram", "interlaced")
BY_CODE = 1e4  # what a year code of four digits may lift a mark by

Figure = tuple[str, str, str]  # symbol, frame, arrangement


class MarkList:
    """Columns by the number of a mark: its share before reading, its figure; and who is spelled alike."""

    def __init__(self, marks: Iterable[Mark], codes_of: Mapping[str, tuple[DateCode, ...]]) -> None:
        self.marks = list(marks)
        self.share = _shares(self.marks)
        self.coded = [mark.id in codes_of for mark in self.marks]
        figures = [(mark.symbol, mark.frame, mark.arrangement) for mark in self.marks]
        self.figures: list[Figure] = list(dict.fromkeys(figures))
        number = {figure: n for n, figure in enumerate(self.figures)}
        self.figure = [number[figure] for figure in figures]
        self.spelled: dict[str, list[int]] = {}
        for n, mark in enumerate(self.marks):
            self.spelled.setdefault(mark.letters, []).append(n)
        self.one_figure = [n for n, mark in enumerate(self.marks) if mark.arrangement in ONE_FIGURE]
        self.spellings = Spellings(self.spelled)
        self.lifts = [self._lift(self.spelled[string]) for string in self.spellings.strings]

    def lifts_of(self, numbers: Iterable[int]) -> list[float]:
        """The most by which these marks alone can raise each spelling."""
        spelled: dict[str, list[int]] = {}
        for n in numbers:
            spelled.setdefault(self.marks[n].letters, []).append(n)
        return [self._lift(spelled.get(string, ())) for string in self.spellings.strings]

    def _lift(self, numbers: Iterable[int]) -> float:
        return max((self.share[n] * (BY_CODE if self.coded[n] else 1.0) for n in numbers), default=0.0)


def _shares(marks: Iterable[Mark]) -> list[float]:
    """The chance of each mark before reading: shared equally among makers, then among a maker's variants."""
    makers = [_maker(mark) for mark in marks]
    variants = Counter(makers)
    return [TABLED_SHARE / len(variants) / variants[maker] for maker in makers]


def _maker(mark: Mark) -> str:
    """The maker as one hand; those not identified are as many as their marks."""
    unknown = mark.maker.lower().startswith(("unidentified", "not identified"))
    return mark.id if unknown else mark.maker

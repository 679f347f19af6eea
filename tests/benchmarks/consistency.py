"""Bottles simulated from the model itself: do its likely years hold the true year as often as they say?

This is called consistency, not truth: it shows that the arithmetic is sound, not that the tables are right.
A bottle is made in a year drawn from the prior. Each piece of evidence is a right look with chance w;
otherwise it belongs to another year, drawn anew. A feature is shown with its chance in that year, a mark by
its years; its letters go through the misreading channel, its code is right or a mould number. Where a feature
or mark does not show, the whole bottle is left on the seabed and another drawn, so that nothing biases the
years.
"""

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import Any

from dating import Case, Finding, Reference, assess
from dating.case import FeatureSeen
from dating.codes import sample
from dating.constants import CODE_RIGHT, LETTER_LOST, LETTER_RIGHT, LETTER_WORN, UNTABLED_SHARE
from dating.edit_distance import ALIKE
from dating.evidence import feature_piece
from dating.years import axis_to, shape_of_feature

THIS_YEAR = 2026
ALPHABET = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True, slots=True)
class Coverage:
    """How often the sets held the true year, and how much they claimed on average (ties included)."""

    bottles: int
    likely: float
    half: float
    likely_claimed: float
    half_claimed: float

    @property
    def words(self) -> str:
        """For a person."""
        return (
            f"{self.bottles} bottles: the 90 % sets held the true year in {self.likely:.1%} "
            f"(they claim {self.likely_claimed:.1%}, ties included), "
            f"the 50 % sets in {self.half:.1%} (they claim {self.half_claimed:.1%})"
        )


class Seabed:
    """Draws bottles and what is read off them."""

    def __init__(self, ref: Reference, seed: int) -> None:
        self.ref = ref
        self.random = random.Random(seed)
        self.axis = axis_to(THIS_YEAR)
        self._rising = list(accumulate(self.axis.prior))
        self._marks = list(ref.marks)
        # signs of a copy are no way of making that was in use in some years
        self._made = [name for name in ref.features if name not in ref.copies]
        self._shares = ref.listed.share
        self._case = Case(this_year=THIS_YEAR)

    def year(self) -> int:
        """A year from the prior."""
        return self.random.choices(self.axis.years, cum_weights=self._rising)[0]

    def bottle(self) -> tuple[int, dict[str, Any]]:
        """A true year and the case that its finder would write."""
        while True:
            year = self.year()
            case = self._read(year)
            if case is not None:
                return year, case

    def _read(self, year: int) -> dict[str, Any] | None:
        case: dict[str, Any] = {"this_year": THIS_YEAR, "features": [], "marks": []}
        families: set[str] = set()
        for _ in range(self.random.choice((1, 2, 2, 3))):
            if self.random.random() < 0.25 and not case["marks"]:
                mark = self._mark(year)
                if mark is None:
                    return None
                case["marks"].append(mark)
                continue
            name = self.random.choice(self._made)
            certainty = self.random.choice(("certain", "probable", "doubtful"))
            seen = FeatureSeen(name, certainty)
            family = self.ref.family_of(name) or name
            piece = feature_piece(seen, self._case, self.axis, self.ref)
            if family in families or not self._shows(
                shape_of_feature(self.ref.features[name]).at, piece.weight, year
            ):
                return None
            families.add(family)
            case["features"].append({"id": name, "certainty": certainty})
        return case

    def _look(self, weight: float, year: int) -> int:
        """The year that a look tells of: the true one, or where it errs any."""
        return year if self.random.random() < weight else self.year()

    def _shows(self, height: Callable[[int], float], weight: float, year: int) -> bool:
        return self.random.random() < height(self._look(weight, year))

    def _mark(self, year: int) -> dict[str, Any] | None:
        told = self._look(0.99, year)
        if self.random.random() < UNTABLED_SHARE:
            model = self.ref.marks[self.random.choice(self._marks)]
            letters = "".join(self.random.choice(ALPHABET) for _ in model.letters)
            return {
                "letters": letters or None,
                "symbol": model.symbol,
                "frame": model.frame,
                "arrangement": model.arrangement,
            }
        mark = self.ref.marks[self.random.choices(self._marks, self._shares)[0]]
        if mark.basis != "published" or self.random.random() >= self.ref.shapes[mark.id].at(told):
            return None
        reading: dict[str, Any] = {
            "letters": self._worn(mark.letters) or None,
            "symbol": mark.symbol,
            "frame": mark.frame,
            "arrangement": mark.arrangement,
        }
        codes = [c for c in self.ref.codes_of.get(mark.id, ()) if c.kind != "other"]
        if len(codes) == 1 and (chars := sample(codes[0], told)):
            right = self.random.random() < CODE_RIGHT
            slot = codes[0].position if codes[0].position in ("left", "right") else "right"
            reading[slot] = chars if right else "".join(self.random.choice("0123456789") for _ in chars)
        return reading

    def _worn(self, letters: str) -> str:
        """Letters through the channel: mostly right, some taken for a look-alike, some lost."""
        out = []
        for letter in letters:
            chance = self.random.random()
            if chance < LETTER_RIGHT:
                out.append(letter)
            elif chance < LETTER_RIGHT + LETTER_WORN:
                out.append(self.random.choice(sorted(ALIKE.get(letter, letter))))
            elif chance >= LETTER_RIGHT + LETTER_WORN + LETTER_LOST / 2:
                out.append(self.random.choice(ALPHABET))
        return "".join(out)


def holds(runs: Sequence[Any], year: int) -> bool:
    """Whether one of the runs holds the year."""
    return any(run.start <= year <= run.end for run in runs)


def measure(ref: Reference, bottles: int, seed: int = 1) -> Coverage:
    """Coverage over simulated bottles."""
    bed = Seabed(ref, seed)
    found: list[tuple[int, Finding]] = []
    for _ in range(bottles):
        year, case = bed.bottle()
        found.append((year, assess(Case.from_dict(case, ref), ref, reasons=False)))
    return Coverage(
        bottles,
        sum(holds(f.likely, y) for y, f in found) / bottles,
        sum(holds(f.half, y) for y, f in found) / bottles,
        sum(sum(r.probability for r in f.likely) for _, f in found) / bottles,
        sum(sum(r.probability for r in f.half) for _, f in found) / bottles,
    )


def main(bottles: int = 20_000) -> None:
    """Print the coverage."""
    from dating import reference

    print(measure(reference(), bottles).words)

"""The finds that typed numbers name, and a sentence for each number that names none."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from catalogue.specimens.models import Specimen
from catalogue.specimens.number_list import (
    MOST_NUMBERS,
    NumberList,
    NumberMistake,
    as_ranges,
    read_numbers,
)

ASKED_AT_ONCE = 1000


@dataclass(frozen=True, slots=True)
class NamedFinds:
    """Numbers of live finds in the order typed, by which key; those in the bin; those of no find."""

    typed: NumberList
    keys: dict[str, int]
    in_bin: dict[str, int]
    unknown: list[str]
    too_many: str = ""

    def all_keys(self) -> list[int]:
        """Keys of what is named, the bin's last."""
        return [*self.keys.values(), *self.in_bin.values()]

    def complaints(self, *, but_bin: bool = False) -> list[str]:
        """What stands in the way, one sentence each; `but_bin`: what lies there is told elsewhere."""
        if self.too_many:
            return [self.too_many]
        said = self.typed.complaints()
        if self.unknown:
            named = "number" if len(self.unknown) == 1 else "numbers"
            said.append(f"No find has the {named} {_some(self.unknown)}.")
        if self.in_bin and not but_bin:
            is_there = (
                "is in the bin: restore it" if len(self.in_bin) == 1 else "are in the bin: restore them"
            )
            binned = list(self.in_bin)
            said.append(f"{_some(binned)} {is_there} first, or leave {_it(binned)} out.")
        return said


def finds_named(text: str, *, also: Sequence[str] = ()) -> NamedFinds:
    """Look up what was typed, after the numbers that were ticked. A query for each thousand numbers.

    Where too many are named nothing is looked up, and it is said.
    """
    typed = read_numbers("\n".join([*also, text]) if also else text)
    if also:
        typed = NumberList(typed.runs, _as_typed(typed, len(also)), max(typed.lines - len(also), 1))
    if typed.count > MOST_NUMBERS:
        said = (
            f"These are {typed.count:,} numbers, and {MOST_NUMBERS:,} go at once: "
            "part the list, and do one part after the other."
        )
        return NamedFinds(typed, {}, {}, [], said)
    numbers = typed.numbers()
    known = {number: (pk, binned) for number, pk, binned in _rows(numbers)}
    return NamedFinds(
        typed,
        {n: known[n][0] for n in numbers if n in known and not known[n][1]},
        {n: known[n][0] for n in numbers if n in known and known[n][1]},
        [n for n in numbers if n not in known],
    )


def _as_typed(typed: NumberList, before: int) -> tuple[NumberMistake, ...]:
    """Mistakes by the lines of the box itself, which begin after the ticked ones."""
    return tuple(NumberMistake(max(m.line - before, 1), m.word, m.why) for m in typed.mistakes)


def _rows(numbers: Sequence[str]) -> Iterator[tuple[str, int, bool]]:
    for start in range(0, len(numbers), ASKED_AT_ONCE):
        part = Specimen.everything.filter(number__in=numbers[start : start + ASKED_AT_ONCE])
        for number, pk, binned in part.order_by().values_list("number", "pk", "binned_at"):
            yield number, pk, binned is not None


def _some(numbers: Sequence[str], most: int = 12) -> str:
    """The first runs of them in short, and how many more."""
    runs = as_ranges(numbers).split(", ")
    if len(runs) <= most:
        return ", ".join(runs)
    return f"{', '.join(runs[:most])} and {len(runs) - most} more"


def _it(numbers: Sequence[str]) -> str:
    return "it" if len(numbers) == 1 else "them"

"""How quick dating is, in processor time, beside the plainest loop over years and marks in the same run.

``python -m tests.benchmarks dating [finds]``
"""

import random
import time
from collections.abc import Callable
from typing import Any

from dating import Case, Reference, assess, rank_marks, reference
from dating.case import SLOTS
from dating.edit_distance import chance, pattern
from dating.years import axis_to, shape_of_feature

THIS_YEAR = 2026
CHARACTERS = ("7", "48", "3", "52", "29", "?", "4 7", "119")
TYPED = ("T", "TH", "THC", "THCO", "T?CO", "K?", "[HN]O?")


def cases(ref: Reference, number: int, seed: int = 1) -> list[Case]:
    """Finds as they come: one to four features, every second one with a mark, some with a known business."""
    draw = random.Random(seed)
    features, marks = (
        [n for n in ref.features if n not in ref.copies],
        [m for m in ref.marks.values() if m.letters],
    )
    out = []
    for n in range(number):
        given: dict[str, Any] = {
            "this_year": THIS_YEAR,
            "features": draw.sample(features, draw.randint(1, 4)),
        }
        if n % 2:
            mark = draw.choice(marks)
            right = draw.choice([None, "", "7", "48"])
            given["mark"] = {"letters": mark.letters, "frame": mark.frame, "right": right}
        if n % 5 == 0:
            given["known"] = [{"what": "shop", "from": draw.randint(1850, 1930), "to": None}]
        out.append(Case.from_dict(given, ref))
    return out


def worn(ref: Reference, number: int, seed: int = 1) -> list[Case]:
    """Finds with a mark that sand has worn and, where its maker coded years, such characters beside it."""
    draw = random.Random(seed)
    features = [name for name in ref.features if name not in ref.copies]
    marks = [mark for mark in ref.marks.values() if mark.letters]
    out = []
    for _ in range(number):
        mark = draw.choice(marks)
        sides = [code.position for code in ref.codes_of.get(mark.id, ()) if code.position in SLOTS]
        reading = {"letters": worn_letters(mark.letters, draw), "frame": draw.choice([mark.frame, None])}
        beside = {draw.choice(sides or ["right"]): draw.choice(CHARACTERS)}
        given: dict[str, Any] = {
            "features": draw.sample(features, draw.randint(0, 2)),
            "mark": reading | beside,
        }
        out.append(Case.from_dict({"this_year": THIS_YEAR, **given}, ref))
    return out


def worn_letters(letters: str, draw: random.Random) -> str:
    """Every fourth letter unread or one of two; of long marks now and then an end under growth."""
    out = [draw.choice(["?", "[BR]", "[HN]"]) if draw.random() < 0.25 else letter for letter in letters]
    if len(out) > 3 and draw.random() < 0.3:
        out[-2:] = [".."]
    return "".join(out)


def plainest(case: Case, ref: Reference) -> list[float]:
    """The posterior by loops alone: every piece, every year, every mark, nothing kept."""
    axis = axis_to(THIS_YEAR)
    values = list(axis.prior)
    shapes: list[Callable[[int], float]] = [shape_of_feature(ref.features[f.id]).at for f in case.features]
    for reading in case.marks:
        letters = pattern(reading.letters or "")
        chances = [
            (
                chance(letters, m.letters) * (0.95 if reading.frame in (None, m.frame) else 0.1),
                ref.shapes[m.id],
            )
            for m in ref.marks.values()
        ]
        shapes.append(lambda y, chances=chances: sum(c * s.at(y) for c, s in chances))  # type: ignore[misc]
    for shape in shapes:
        heights = [shape(year) for year in axis.years]
        mean = sum(p * t for p, t in zip(axis.prior, heights, strict=True))
        values = [v * (0.99 * t + 0.01 * mean) for v, t in zip(values, heights, strict=True)]
    total = sum(values) or 1.0
    return sorted((v / total for v in values), reverse=True)


def plainest_ranking(letters: str, ref: Reference) -> list[tuple[float, str]]:
    """The marks by the chance of the letters alone: every mark aligned on its own."""
    reading = pattern(letters)
    return sorted(((chance(reading, m.letters), m.id) for m in ref.marks.values()), reverse=True)


def timed(run: Callable[[], object], times: int = 1) -> float:
    """Processor seconds a run, the best of three."""
    best = float("inf")
    for _ in range(3):
        began = time.process_time()
        for _ in range(times):
            run()
        best = min(best, (time.process_time() - began) / times)
    return best


def each(found: list[Case], run: Callable[[Case], object]) -> float:
    """Processor seconds a find."""
    return timed(lambda: [run(case) for case in found]) / len(found)


def slow(found: list[Case], run: Callable[[Case], object]) -> float:
    """Processor seconds that 95 in 100 finds stay below, each asked once."""
    took = []
    for case in found:
        began = time.process_time()
        run(case)
        took.append(time.process_time() - began)
    return sorted(took)[len(took) * 95 // 100]


def sets(case: Case, ref: Reference) -> object:
    """The window and the likely years of one find."""
    finding = assess(case, ref, reasons=False)
    return finding.window, finding.likely


def line(what: str, seconds: float, goal: str, floor: float | None = None) -> None:
    """One measured line."""
    ratio = f", {floor / seconds:.1f} times quicker than the plainest loop" if floor else ""
    print(f"{what}: {seconds * 1000:.3f} ms (goal {goal}){ratio}")


def many_marks(ref: Reference, number: int = 5000) -> Reference:
    """The tables with invented marks of two to five letters."""
    draw = random.Random(2)
    alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    rows = [
        {
            "id": f"own-{n}",
            "letters": "".join(draw.choice(alphabet) for _ in range(draw.choice((2, 3, 3, 4, 4, 5)))),
            "frame": draw.choice(ref.frames),
            "maker": f"Invented works {n // 2}",
            "used_from": 1850 + n % 90,
            "used_to": 1900 + n % 90,
        }
        for n in range(number)
    ]
    return ref.with_own(rows)


def figures(make: Callable[..., list[Case]], ref: Reference, number: int) -> None:
    """The figures of one kind of finds."""
    sample = make(ref, 200)
    floor = each(sample[:12], lambda case: plainest(case, ref))

    def unread() -> None:
        fresh = ref.with_own()  # nothing remembered
        for case in sample:
            sets(case, fresh)

    opening = timed(ref.with_own)
    cold = (timed(unread) - opening) / len(sample)
    line("window and likely years, nothing read before", cold, "1 ms", floor)
    fresh = ref.with_own()
    line("the same, 95th percentile", slow(sample, lambda case: sets(case, fresh)), "1 ms", floor)
    warm = each(sample, lambda case: sets(case, ref))
    line("window and likely years", warm, "1 ms", floor)
    line("with reasons and conflicts", each(sample, lambda case: assess(case, ref).as_dict()), "5 ms", floor)
    looks = slow(sample, lambda case: assess(case, ref, look_next=True).as_dict())
    line("with what to look at next, 95th percentile", looks, "30 ms", floor)
    batch = make(ref, number, seed=3)

    def redate() -> None:
        fresh = ref.with_own()
        for case in batch:
            assess(case, fresh, reasons=False)

    rate = number / timed(redate)
    times = rate * floor
    print(
        f"batch of {number:,}: {rate:,.0f} windows a second (goal 5,000), {times:.0f} times the plainest loop"
    )


def main(number: int = 10_000) -> None:
    """Print every figure."""
    ref = reference()
    for words, make in (("worn and coded", worn), ("mostly features, marks read whole", cases)):
        print(f"\n{words}")
        figures(make, ref, number)
    big = many_marks(ref)
    typing: list[dict[str, object]] = [{"letters": one} for one in TYPED]
    typing += [{"letters": one, "frame": "circle"} for one in ("TH", "K?")]
    for given in typing:

        def typed(given: dict[str, object] = given) -> object:
            big.forget()
            return rank_marks(given, big)

        letters = str(given["letters"])
        plain = timed(lambda letters=letters: plainest_ranking(letters, big))  # type: ignore[misc]
        what = letters + (" in a circle" if "frame" in given else "")
        line(f"ranking 5,000 marks for {what}", timed(typed), "50 ms", plain)

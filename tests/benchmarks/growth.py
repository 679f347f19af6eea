"""Does a longer table of marks blur what it said before? Rare marks added, equal shares beside commonness.

``python -m tests.benchmarks growth [marks]``. Every published mark of two to four letters is read whole, and
with its first letter worn, before and after invented marks of like letters and years are added.
"""

from dating import Case, Finding, Reference, assess, reference
from tests.dating.grown import grown, invented


def readings(ref: Reference) -> list[dict[str, str]]:
    """The marks that are not rare themselves, as read and with a letter worn off."""
    known = [m for m in ref.marks.values() if 2 <= len(m.letters) <= 4 and m.common.commonness != "few"]
    return [
        {"letters": letters, "frame": m.frame} for m in known for letters in (m.letters, f"?{m.letters[1:]}")
    ]


def findings(ref: Reference, read: list[dict[str, str]]) -> list[Finding]:
    """The answer to each reading."""
    cases = (Case.from_dict({"mark": each, "this_year": 2026}, ref) for each in read)
    return [assess(case, ref, reasons=False) for case in cases]


def words(before: list[Finding], after: list[Finding]) -> str:
    """How much wider the sets and windows have become."""
    sets = [_held(b) / _held(a) for a, b in zip(before, after, strict=True)]
    stated = [(a, b) for a, b in zip(before, after, strict=True) if a.window]
    same = sum(a.window == b.window for a, b in stated)
    gone = sum(b.window is None for _, b in stated)
    return (
        f"90 % sets {sum(sets) / len(sets):.3f} times as wide on average, "
        f"{sum(each > 1.1 for each in sets)} of {len(sets)} by more than a tenth; of {len(stated)} windows "
        f"{same} stay, {len(stated) - same - gone} change, {gone} go"
    )


def _held(finding: Finding) -> int:
    return sum(run.end - run.start + 1 for run in finding.likely)


def main(marks: int = 64) -> None:
    """Print both."""
    ref = reference()
    read = readings(ref)
    before = findings(ref, read)
    for word in ("some", "few"):
        after = findings(grown(invented(marks), word), read)
        print(f"{marks} marks added that {word} bottles bear: {words(before, after)}")

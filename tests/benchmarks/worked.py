"""The published, dated bottles beside our answers, as a table for the developers' page."""

from dating import reference
from tests.dating.worked import EXAMPLES, finding_of


def years(start: int, end: int) -> str:
    """A range as it is written in a table."""
    return f"{start}–{end}" if end > start else f"{start}"


def main() -> None:
    """Print the table."""
    ref = reference()
    print("| bottle | published | window | likely (90 %) | half (50 %) | share of the published years |")
    print("|---|---|---|---|---|---|")
    for example in EXAMPLES:
        finding = finding_of(example, ref)
        start, end = example["published_from"], example["published_to"]
        held = sum(finding.posterior[year - finding.axis[0]] for year in range(start, end + 1))
        likely = ", ".join(years(run.start, run.end) for run in finding.likely)
        half = ", ".join(years(run.start, run.end) for run in finding.half)
        print(f"| {example['id']} | {years(start, end)} | {finding.words} | {likely} | {half} | {held:.0%} |")

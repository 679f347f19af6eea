"""What share of the dating tables was read in a publication, and what is from memory: the README's sentence.

``python -m tests.benchmarks reliability`` prints it; a test compares it with the README.
"""

from collections import Counter

from dating import Reference, reference
from dating.copies import COPIES
from dating.evidence import reliability_of


def sentence(ref: Reference) -> str:
    """Marks and codes by the basis of their row, features by the years of it that were read."""
    marks = Counter(mark.basis for mark in ref.marks.values())
    codes = Counter(code.basis for code in ref.date_codes.values())
    made = [feature for feature in ref.features.values() if feature.group != COPIES]
    features = Counter(map(reliability_of, made))
    return (
        f"Of {marks.total()} marks {marks['published'] / marks.total():.0%} were read in a publication, "
        f"{marks['partly'] / marks.total():.0%} in part, the rest are from memory; "
        f"of {codes.total()} year codes {codes['published'] / codes.total():.0%}; "
        f"of {features.total()} features of making {features['published']} wholly, "
        f"{features['partly']} in part (a year that bounds them is a compiler's reading) "
        f"and {features['memory']} are from memory."
    )


def main() -> None:
    """Print it."""
    print(sentence(reference()))

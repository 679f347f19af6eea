"""The quick way of weighing readings beside the plain one, on many random cases.

``python -m tests.benchmarks plainly [cases]``
"""

import random

import pytest

from dating import misreading, reference
from tests.dating.own_rows import CODES, MARKS
from tests.dating.test_plainly import furthest


def main(number: int = 2000) -> None:
    """Print how far the two are apart, of the highest year: with nothing left out, and as it runs."""
    draw = random.Random(7)
    for words, share in (("nothing left out", 0.0), ("as it runs", misreading.IRRELEVANT)):
        joined = reference().with_own(MARKS, CODES)
        with pytest.MonkeyPatch.context() as patched:
            patched.setattr(misreading, "IRRELEVANT", share)
            apart = [
                furthest(joined, draw, draw.choice([None, None, "US", "DE"]))[0] for _ in range(number // 2)
            ]
        apart.sort()
        print(f"{words}: at most {apart[-1]:.1e}, 99 in 100 below {apart[len(apart) * 99 // 100]:.1e}")

"""Looking one typed town up in the large gazetteer: milliseconds of processor time."""

import os
from statistics import median
from time import process_time

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
# Typed as they stand, with letters lost, read wrongly, behind a firm, begun, known to nobody; as it was asked
# for, and the dearest: an end that is lost at the front, for which every name is gone through.
TYPED = {
    "as it stands": "PORTLAND ME",
    "bare, several fit": "BOSTON",
    "another language": "KOELN",
    "one letter marked": "B?STON MASS.",
    "the first letter lost": "?ALIFAX N.S.",
    "left open": "B STON MASS",
    "read wrongly": "8OST0N MASS",
    "behind a firm": "T. QUARL & CO. LYNCHBURG VA",
    "line by line": "SMITH / DRUGGIST / EL PASO / TEX.",
    "known to nobody": "QUARL MILLS, VELMOOR",
    "a front end lost": "[..]TON MASS",
}
TURNS = 50
ASKED_MS = 10.0


def main() -> None:
    """Print one line for each way of typing."""
    from catalogue.specimens.gazetteer import read_town, suggest

    read_town("PORTLAND ME")
    for words, typed in TYPED.items():
        print(f"{words:24} {_median_ms(lambda typed=typed: read_town(typed)):6.2f} ms   {typed}")
    for begin in ("s", "san", "portl"):
        print(f"{'while typing':24} {_median_ms(lambda begin=begin: suggest(begin)):6.2f} ms   {begin}")
    print(f"asked for: {ASKED_MS} ms")


def _median_ms(work) -> float:
    taken = []
    for _ in range(TURNS):
        before = process_time()
        work()
        taken.append((process_time() - before) * 1000)
    return median(taken)

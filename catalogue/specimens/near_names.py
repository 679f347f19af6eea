"""Names near to one that was read: one letter lost, added, wrong or two changed about; two that wear alike.

Edit distance (Damerau 1964) turned about: not every town is compared, but every spelling at that distance is
looked up, a few hundred for a name. How likely each is for worn letters the dating service says.
"""

from collections.abc import Iterable, Iterator
from itertools import combinations

from dating.edit_distance import ALIKE, chance, pattern, plain

from .lost_letters import KEY_LETTERS

# A shorter name has too many neighbours to say anything, a longer one is no name.
LEAST_LETTERS, MOST_LETTERS = 4, 40


def near_keys(key: str) -> set[str]:
    """Every key at one step from this one, and those with two letters that wear to look alike."""
    if not LEAST_LETTERS <= len(key.replace(" ", "")) <= MOST_LETTERS:
        return set()
    found = set(_one_step(key)) | set(_two_worn(key))
    found.add(key.replace(" ", ""))
    return {each.strip() for each in found} - {key, ""}


def respaced_keys(key: str) -> set[str]:
    """The same letters with a space more or less: LACROSSE and LA CROSSE."""
    found = {key[:at] + " " + key[at:] for at in range(2, len(key) - 1)} | {key.replace(" ", "")}
    found |= {key[:at] + key[at + 1 :] for at, letter in enumerate(key) if letter == " "}
    return {each for each in found if "  " not in each} - {key}


def likeness(read: str, name: str) -> float:
    """How likely these letters are read where that name was cut, at the best alignment."""
    return chance(pattern(read), plain(name))


def _one_step(key: str) -> Iterator[str]:
    for at in range(len(key) + 1):
        before, after = key[:at], key[at:]
        for letter in KEY_LETTERS:
            yield before + letter + after
            if after:
                yield before + letter + after[1:]
        if after:
            yield before + after[1:]
        if len(after) > 1:
            yield before + after[1] + after[0] + after[2:]


def _two_worn(key: str) -> Iterator[str]:
    """Two letters each taken for one that looks like it when worn."""
    for one, two in combinations(range(len(key)), 2):
        for first in _alike(key[one]):
            for second in _alike(key[two]):
                yield key[:one] + first + key[one + 1 : two] + second + key[two + 1 :]


def _alike(letter: str) -> Iterable[str]:
    return (
        other.casefold() for other in ALIKE.get(letter.upper(), ()) if other.isalpha() or letter.isdigit()
    )

"""Names that look like one: spellings and slips of one letter; never two things that are told apart."""

import pytest

from catalogue.common.look_alikes import NamedRow, by_likeness, look_alikes, spelled_alike


def alike(one: str, other: str, *beside: str) -> bool:
    rows = [NamedRow(n, name, *beside[n : n + 1]) for n, name in enumerate((one, other))]
    return bool(look_alikes(rows))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Quill & Sons", "QUILL AND SONS"),
        ("Quill & Sons Co.", "The Quill and Sons Company"),
        ("St. Ellarn", "Saint Ellarn"),
        ("O'Dell Bros.", "ODELL BROTHERS"),
        ("Brèmond", "BREMOND"),
        ("Marrowby", "Marowby"),  # lost
        ("Marrowby", "Marrovby"),  # another
        ("Marrowby", "Marrwoby"),  # changed places
    ],
)
def test_spellings_and_slips_are_alike(one, other):
    assert alike(one, other) and alike(other, one)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Marrowby", "Inchgate"),
        ("Ross", "Rose"),  # too short to tell a slip from a name
        ("Works No. 1 Ellarn", "Works No. 2 Ellarn"),
        ("Marrowby", "Mrarowyb"),  # two slips
        ("", ""),
        ("???", "!!!"),
    ],
)
def test_other_names_are_not(one, other):
    assert not alike(one, other)


def test_what_tells_them_apart_counts_only_where_both_say_it():
    assert not alike("Marrowby", "MARROWBY", "1", "2")
    assert alike("Marrowby", "MARROWBY", "1", "") and alike("Marrowby", "MARROWBY", "1", "1")


def test_two_of_which_it_is_known_what_they_are_are_two():
    known, more, typed = (NamedRow(n, "Marrowby", settled=n < 2) for n in range(3))
    assert look_alikes([known, more]) == [] and look_alikes([known, typed]) == [(known, typed)]


def test_the_table_finds_what_comparing_all_with_all_finds():
    """Against the plain way, on words made by slips of a few."""
    from itertools import combinations
    from random import Random

    from catalogue.common.look_alikes import _alike

    chance, made = Random(7), ["marrowby", "inchgate", "quarlharbour"]
    for _ in range(120):
        word, at = chance.choice(made), chance.randrange(6)
        other = chance.choice(["", "x", word[at + 1 : at + 2] + word[at : at + 1]])
        made.append(word[:at] + other + word[at + 1 :])
    rows = [NamedRow(n, name) for n, name in enumerate(made)]
    plain = {
        (a.key, b.key) for a, b in combinations(rows, 2) if _alike(*map(spelled_alike, (a.name, b.name)))
    }
    assert len(plain) > 100 and {(a.key, b.key) for a, b in look_alikes(rows)} == plain


def test_the_likest_stands_first_and_strangers_do_not_stand():
    rows = [NamedRow(n, name) for n, name in enumerate(["Inchgate", "Quill & Son", "Quell and Sons"])]
    assert [row.name for row in by_likeness("QUILL AND SONS", rows)] == ["Quill & Son", "Quell and Sons"]


def test_pairs_spelled_alike_come_before_slips_of_a_letter():
    names = ["Quillgate", "Quilgate", "Marrow & Sons", "MARROW AND SONS"]
    rows = [NamedRow(n, name) for n, name in enumerate(names)]
    assert [(one.key, other.key) for one, other in look_alikes(rows)] == [(2, 3), (0, 1)]

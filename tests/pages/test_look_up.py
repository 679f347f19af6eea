"""What a person types for a mark, and what the tables hold of it."""

import pytest

import dating
from catalogue.pages.parts.look_up import LookUp, squeezed


@pytest.mark.parametrize(
    ("typed", "stored"),
    [
        ("ball mason", "BALLMASON"),
        ("Ball-Mason", "BALLMASON"),
        ("B.A.L.L. mason", "BALL MASON"),
        ("T & H", "TH"),
        ("T. and H.", "TH"),
        ("t+h", "T & H"),
        ("TH", "T & H"),
        ("nienburg und", "Nienburg und Söhne"),
        ("sohne", "Nienburg und Söhne"),
        ("SÖHNE nienburg", "Nienburg und Söhne"),
        ("andersen", "ANDERSEN"),
    ],
)
def test_these_are_one(typed, stored):
    assert LookUp(typed).fits([stored])


@pytest.mark.parametrize(
    ("typed", "stored"),
    [
        ("th", "Thomas Hall"),
        ("bw", "Cobweb Works"),
        ("ball mason", "Ball perfect"),
        ("hollis tern x", "Tern & Hollis"),
    ],
)
def test_these_are_not(typed, stored):
    assert not LookUp(typed).fits([stored])


def test_words_may_stand_in_several_fields_but_letters_do_not_run_on_from_one_to_the_next():
    assert LookUp("ellarn tern").fits(["Tern & Hollis", "Port Ellarn"])
    assert not LookUp("hollisport").fits(["Tern & Hollis", "Port Ellarn"])


@pytest.mark.parametrize("typed", ["", "  ", "&", "and", "...", "\u0301"])
def test_nothing_typed_looks_for_nothing(typed):
    assert not LookUp(typed)


def test_every_published_mark_is_found_by_its_letters_in_pieces():
    """Typed apart, with points, in small letters."""
    ref = dating.reference()
    letters = {mark.letters for mark in ref.marks.values() if squeezed(mark.letters)}
    assert len(letters) > 100
    for each in letters:
        middle = len(each) // 2
        for typed in (each.lower(), ".".join(each), f"{each[:middle]} {each[middle:]}"):
            assert LookUp(typed).fits([each]), (typed, each)

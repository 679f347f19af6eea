"""Stored hazard keys are looked at before the catalogue opens."""

import pytest

from catalogue.access import start_checks
from catalogue.care.services import note_look
from catalogue.care.unknown_hazards import look_at_stored_keys
from tests.care.makers import crusted

pytestmark = pytest.mark.django_db


def test_nothing_is_said_where_all_are_known(django_assert_num_queries) -> None:
    crusted(found=("sealed", "crack"))
    with django_assert_num_queries(1):
        assert look_at_stored_keys() == []
    assert look_at_stored_keys in start_checks._checks


def test_an_unknown_one_is_named_with_its_pieces() -> None:
    finds = [crusted(f"Piece {n}") for n in range(7)]
    for find in finds:
        find.checks.update(found=["glows"])
    (sentence,) = look_at_stored_keys()
    assert f"{finds[-1].number} (glows)" in sentence and "and 2 more" in sentence
    assert "looked at it anew" in sentence


def test_a_look_anew_opens_the_piece_and_ends_the_sentence() -> None:
    find = crusted()
    find.checks.update(found=["glows"])
    assert look_at_stored_keys()
    note_look(find, [])
    assert look_at_stored_keys() == []

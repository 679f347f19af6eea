"""Pieces that match."""

import pytest

from catalogue.specimens.models import Specimen, TwinGroup
from catalogue.specimens.services import match, part_ways
from tests import factories as make

pytestmark = pytest.mark.django_db


def fresh(find: Specimen) -> Specimen:
    return Specimen.objects.get(pk=find.pk)


def test_two_pairs_become_four() -> None:
    a, b, c, d = (make.find(f"Piece {n}") for n in range(4))
    match(a, b)
    match(c, d)
    match(fresh(a), fresh(d))
    assert len({fresh(find).twin_group_id for find in (a, b, c, d)}) == 1
    assert TwinGroup.objects.count() == 1


def test_a_twin_left_alone_is_none() -> None:
    a, b, c = (make.find(f"Piece {n}") for n in range(3))
    match(a, b)
    match(fresh(a), c)
    part_ways(fresh(a))
    assert fresh(a).twin_group is None
    assert fresh(b).twin_group == fresh(c).twin_group is not None
    part_ways(fresh(b))
    assert fresh(c).twin_group is None
    assert TwinGroup.objects.count() == 0
    part_ways(fresh(c))


def test_a_piece_is_not_its_own_twin() -> None:
    find = make.find("Piece")
    with pytest.raises(ValueError, match="its own twin"):
        match(find, find)
    assert TwinGroup.objects.count() == 0

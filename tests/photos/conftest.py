"""Subjects to take pictures of."""

import pytest

from catalogue.sites.models import Site
from catalogue.sites.services import keep_site
from catalogue.specimens.models import Specimen


@pytest.fixture(autouse=True)
def files_of_this_test(data_folder):
    """No picture of one test is seen by another."""


@pytest.fixture
def find(db) -> Specimen:
    return a_find(1)


@pytest.fixture
def site(db) -> Site:
    return keep_site(Site(name="Tallow Cove"))


def a_find(piece: int, **fields) -> Specimen:
    """A find written straight to the table: numbering is another room's business."""
    return Specimen.objects.create(
        number=f"2026.14.{piece}",
        number_year=2026,
        number_ordinal=14,
        number_piece=piece,
        what="Aqua soda bottle",
        **fields,
    )

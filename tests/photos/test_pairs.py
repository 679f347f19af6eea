"""Which two pictures of a find are set against each other."""

import pytest

from catalogue.photos.models import Photo
from catalogue.photos.models.laid_pair import before_and_after


@pytest.mark.parametrize(
    ("roles", "pair"),
    [
        (["as-found", "after"], ("as-found", "after")),
        (["as-found", "before", "after"], ("before", "after")),
        (["after", "before"], ("before", "after")),
        (["as-found", "before", "during"], None),
        (["after", "base"], None),
    ],
)
def test_what_was_before_the_work_stands_against_after_it_and_else_what_was_found(roles, pair):
    found = before_and_after(Photo(role=role) for role in roles)
    assert (found and (found.before.role, found.after.role)) == pair

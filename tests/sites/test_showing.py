"""What visitors may know of a place."""

import pytest

from catalogue.sites.models import Site
from catalogue.sites.queries import place_for_visitors


def site(show_as: str, **given: object) -> Site:
    return Site(name="Tallow Cove", water_body="Velmoor Sound", show_as=show_as, **given)


@pytest.mark.parametrize(
    ("place", "words"),
    [
        (None, ""),
        (site("hidden", latitude=44.51, longitude=-67.28), ""),
        (site("exact"), "Tallow Cove, Velmoor Sound"),
        (site("rounded"), "Velmoor Sound"),
        # the middle of the 0.1° cell, not the nearest tenth: 44.51 lies between 44.5 and 44.6
        (
            site("rounded", latitude=44.51, longitude=-67.28),
            "Velmoor Sound, about 44° 33′ N, 67° 15′ W (rounded to 0.1°)",
        ),
        (
            site("rounded", latitude=-0.04, longitude=0.06),
            "Velmoor Sound, about 0° 3′ S, 0° 3′ E (rounded to 0.1°)",
        ),
    ],
)
def test_words_are_only_as_exact_as_the_site_is_shown(place: Site | None, words: str) -> None:
    assert place_for_visitors(place) == words

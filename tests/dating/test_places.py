"""Regions and contents: any can be said, and what a row that is meant for another still tells."""

import json

import pycountry
import pytest

from dating import Case, CaseError, Reference
from dating.command import answer

from .conftest import Ask

YEAR = {"this_year": 2026}


def test_every_country_and_every_content_is_taken(ref: Reference) -> None:
    assert len(ref.countries) == 249
    for region in ref.regions:
        out, fine = answer(json.dumps({"region": region, "features": ["acl"], **YEAR}), ref)
        assert fine and out["window"]["from"] == 1931
    for word in ("wine", "ink", "poison", "perfume", "spirits"):
        assert word in ref.contents
    for held in ref.contents:
        assert answer(json.dumps({"contents": held, "features": ["acl"], **YEAR}), ref)[1]


def test_the_codes_are_those_of_a_published_list(ref: Reference) -> None:
    assert set(ref.countries) == {country.alpha_2 for country in pycountry.countries}


@pytest.mark.parametrize(
    ("given", "taken"),
    [("us", "US"), ("Germany", "DE"), (" uk ", "UK"), ("GB", "GB"), ("Any", "any"), ("", None)],
)
def test_a_country_by_its_letters_or_name(ref: Reference, given: str, taken: str | None) -> None:
    assert Case.from_dict({"region": given}, ref).region == taken


def test_an_unknown_country_names_the_nearest(ref: Reference) -> None:
    with pytest.raises(CaseError, match="nearest: Germany"):
        Case.from_dict({"region": "Germanny"}, ref)


def test_the_wider_region_serves_a_country_without_rows_of_its_own(ref: Reference) -> None:
    places = ref.places
    assert places.wider("UK") == places.wider("GB") == places.wider("SE") == "Northern Europe"
    assert places.region_fits("finish", "US", "CA")  # Northern America
    assert places.region_fits("finish", "UK", "IE") and not places.region_fits("finish", "US", "IE")
    assert not places.region_fits("finish", "US", "UK")
    assert places.region_fits("body", "US", "CA")  # one row of its own takes the others from no country
    assert places.mark_fits("DE", "AT") and not places.mark_fits("US", "CA")  # has marks of its own
    assert not places.region_fits("finish", "US", "BR")  # neither: those for any place remain
    assert places.region_fits("finish", "any", "BR") and places.region_fits("finish", "GB", "UK")


def test_the_wider_kind_serves_contents_without_rows_of_their_own(ref: Reference) -> None:
    places = ref.places
    assert places.contents_fit("finish", "liquor", "wine") and places.contents_fit("body", "other", "ink")
    assert not places.contents_fit("finish", "beer", "wine")
    assert not places.contents_fit("finish", "beer", "soda")
    assert places.within("wine") == "liquor" and places.within("beer") == ""


def test_a_world_wide_limit_keeps_its_weight_elsewhere(ask: Ask) -> None:
    """A bar code in Britain had likely years of 1600–2026 before."""
    here, there = (ask({"features": ["barcode"], "region": region}) for region in ("US", "UK"))
    assert here.window == there.window == (1974, None)
    assert there.likely[0].start >= 1974
    assert "holds all over the world" in there.because[0].why_weight
    assert there.because[0].weight == here.because[0].weight
    assert ask({"features": ["uk-diamond-mark"], "region": "US"}).window == (1842, None)


def test_outside_its_region_a_soft_side_never_cuts(ask: Ask, ref: Reference) -> None:
    for feature in ref.features.values():
        if feature.region in ("any", "UK"):
            continue
        if ref.variants.taken(feature.id, "UK", None) is not feature:
            continue  # Britain has a row of its own in its place
        piece = ask({"features": [feature.id], "region": "UK"}).pieces[0]
        if ref.places.region_fits(feature.group, feature.region, "UK"):
            continue
        first, last = piece.support[0][0], piece.support[-1][1]
        assert (first > 1000) == (feature.world_wide in ("start", "both")), feature.id
        assert (last < 3000) == (feature.world_wide in ("end", "both")), feature.id
        assert min(piece.likelihood) >= 0


def test_the_soft_side_loses_weight(ask: Ask) -> None:
    here, there = (ask({"features": ["suction-scar"], "region": region}) for region in ("US", "BR"))
    assert here.window == (1905, 1982) and there.window == (1905, None)
    late = 2000 - 1600
    assert there.posterior[late] > 3 * here.posterior[late]


def test_marks_of_another_country_count_less(ask: Ask) -> None:
    def share(region: str | None, country: str) -> float:
        finding = ask({"mark": {"letters": "L"}, "region": region})
        return sum(
            m.probability for m in finding.marks if m.id and finding.ref.marks[m.id].country == country
        )

    assert share("DE", "US") < share(None, "US") < share("US", "US")
    assert share("any", "US") == share(None, "US")


def test_a_mark_of_no_known_country_may_be_any(ref: Reference) -> None:
    assert ref.places.mark_fits("", "DE") and ref.places.mark_fits("Velmoor", "DE")
    assert not ref.places.mark_fits("US", "DE") and ref.places.mark_fits("GB", "UK")


def test_a_rule_for_a_kind_holds_for_what_lies_within(ask: Ask) -> None:
    given = {"mark": {"letters": "B", "frame": "circle", "right": "48"}, "features": ["federal-law-forbids"]}
    spirits, liquor = (ask({**given, "contents": held}) for held in ("spirits", "liquor"))
    assert spirits.window == liquor.window
    assert ask({**given, "contents": "ink"}).posterior != spirits.posterior

"""Regional variants: one look, other years; ticked once, taken by region and contents."""

import csv
import io
from itertools import product

import pytest

from dating import Reference, ReferenceError
from dating.library import TABLE_NAMES, load
from dating.looknext import ONE_OF
from dating.tables import PUBLISHED

from .conftest import Ask


def spoilt(name: str, **cells: str) -> Reference:
    """The tables with cells of one feature changed."""
    texts = {each: PUBLISHED.text(each) for each in TABLE_NAMES}
    rows = list(csv.DictReader(io.StringIO(texts["features"])))
    next(row for row in rows if row["id"] == name).update(cells)
    out = io.StringIO()
    writer = csv.DictWriter(out, list(rows[0]))
    writer.writeheader()
    writer.writerows(rows)
    return load(texts | {"features": out.getvalue()})


def test_the_older_row_takes_the_years_of_the_region(ask: Ask) -> None:
    """A machine seam over the lip: 1886 in Britain, 1893 in America, 1906 in Japan (table of features)."""
    starts = {
        region: ask({"features": ["machine-seam-over-finish"], "region": region}).window
        for region in (None, "US", "UK", "GB", "JP")
    }
    assert starts == {
        None: (1893, None),
        "US": (1893, None),
        "UK": (1886, None),
        "GB": (1886, None),
        "JP": (1906, None),
    }


def test_the_answer_says_which_row_it_took(ask: Ask) -> None:
    (reason,) = ask({"features": ["crown-finish"], "region": "DE"}).because
    assert reason.evidence == "Crown cap finish, Germany"
    assert "the row for DE is taken in place of “Crown cap finish”" in reason.why_weight
    (plain,) = ask({"features": ["crown-finish"], "region": "US"}).because
    assert plain.evidence == "Crown cap finish" and "taken in place" not in plain.why_weight


def test_contents_choose_among_the_variants_of_a_country(ask: Ask, ref: Reference) -> None:
    def taken(held: str | None) -> str:
        return ref.variants.taken("crown-finish", "UK", held).id

    assert (taken(None), taken("beer"), taken("milk")) == (
        "crown-finish-uk",
        "crown-finish-uk",
        "sterilised-milk-uk",
    )
    assert ref.variants.taken("plain-cork", None, "wine").id == "plain-cork-wine"
    assert ref.variants.taken("plain-cork", None, "beer").id == "plain-cork"
    (wine,) = ask({"features": ["plain-cork"], "contents": "wine"}).because
    assert "the row for wine is taken" in wine.why_weight


def test_answers_for_america_are_what_they_were(ref: Reference) -> None:
    """No variant is for the United States, and none is taken where the country is not known."""
    assert not [row.id for row in ref.features.values() if row.variant_of and row.region == "US"]
    kinds = [held for held in (None, *ref.held) if held != "wine"]
    for name, region, held in product(ref.features, ("US", None, "any", ""), kinds):
        assert ref.variants.taken(name, region, held) is ref.features[name], (name, region, held)


def test_a_row_and_its_variant_are_one_look(ask: Ask) -> None:
    one = ask({"features": ["suction-scar"], "region": "DE"})
    doubt = {"id": "suction-scar", "certainty": "doubtful"}
    for seen in ([doubt, "suction-scar-de"], ["suction-scar-de", doubt]):
        both = ask({"features": seen, "region": "DE"})
        assert [piece.key for piece in both.pieces] == ["suction-scar-de"]
        assert both.posterior == one.posterior and both.window == one.window


def test_what_rules_a_row_out_rules_out_its_variants(ask: Ask) -> None:
    seen = {"features": ["machine-seam-over-finish", "applied-finish"], "region": "FR"}
    (conflict,) = [each for each in ask(seen).conflicts if each.kind == "excluded"]
    assert set(conflict.keys) == {"machine-seam-fr", "applied-finish"}


def test_no_question_doubles_its_choices(ask: Ask, ref: Reference) -> None:
    """In questions of alternatives no country's stand-in beside the row that it stands in for."""
    for region in (None, "US", "UK", "DE", "NL", "JP", "AU"):
        for look in ask({"region": region}, look_next=True).look_next:
            assert not [name for name in look.features if ref.features[name].variant_of], (region, look.ask)
    lips = {look.group: set(look.features) for look in ask({}, look_next=True).look_next}["lip-shape"]
    assert "laid-on-ring" in lips and not lips & {"string-rim-wedge", "knoppol-se", "crown-finish-de"}
    british = {look.group: set(look.features) for look in ask({"region": "UK"}, look_next=True).look_next}
    assert british["lip-shape"] >= {"laid-on-ring", "string-rim-wedge", "crown-finish"}
    assert "machine-seam-over-finish" in british["mould-seam"]


def test_the_gain_of_a_question_goes_by_the_rows_that_would_be_taken(ask: Ask) -> None:
    def bits(region: str) -> float:
        looks = ask({"region": region, "known": [{"from": 1880, "to": 1915, "what": "x"}]}, look_next=True)
        return next(look.bits for look in looks.look_next if look.group == "mould-seam")

    assert bits("UK") != pytest.approx(bits("US"), abs=1e-3)


def test_old_wine_bottles_are_a_question_of_their_own(ask: Ask, ref: Reference) -> None:
    assert "wine-form" in ONE_OF
    forms = {row.id for row in ref.groups["wine-form"]}
    assert {"wine-shaft-globe-uk", "wine-onion-uk", "wine-onion-lc", "wine-mallet-uk"} <= forms
    asked = {look.group: look for look in ask({"contents": "wine"}, look_next=True).look_next}
    assert set(asked["wine-form"].features) == forms
    answered = ask({"features": ["wine-onion-uk"]}, look_next=True)
    assert answered.window == (1670, 1740)
    assert "wine-form" not in {look.group for look in answered.look_next}
    assert "wine-form" not in {look.group for look in ask({"contents": "milk"}, look_next=True).look_next}


def test_the_countries_of_an_answer(ref: Reference) -> None:
    regions = ref.variants.regions
    assert {"US", "CA", "UK", "JP"} <= set(regions(ref.features["machine-seam-over-finish"]))
    assert regions(ref.features["crown-finish"]) == ("any",)
    assert regions(ref.features["knoppol-se"]) == ("SE",)


@pytest.mark.parametrize(
    ("name", "cells", "field", "reason"),
    [
        ("crown-finish-de", {"variant_of": "crwn"}, "variant_of", "there is no feature"),
        ("knoppol-se", {"kind_of": "lip"}, "kind_of", "there is no feature"),
        ("crown-finish-de", {"variant_of": "crown-finish-uk"}, "variant_of", "is itself a variant"),
        ("crown-finish-de", {"kind_of": "crown-finish"}, "kind_of", "not both"),
        ("crown-finish-de", {"variant_of": "acl"}, "variant_of", "answers another question (label)"),
        ("crown-finish-de", {"region": "UK"}, "variant_of", "“crown-finish-uk” is its variant there already"),
        ("machine-seam-de", {"region": "US"}, "variant_of", "is for the same region and contents"),
        ("crown-finish-de", {"earliest": "1880"}, "earliest", "begins later, all over the world"),
        (
            "crown-finish-de",
            {"earliest": "", "hard_limit": "none", "world_wide": "none"},
            "earliest",
            "begins later",
        ),
    ],
)
def test_a_variant_that_cannot_be_resolved_is_refused(
    name: str, cells: dict[str, str], field: str, reason: str
) -> None:
    with pytest.raises(ReferenceError) as refused:
        spoilt(name, **cells)
    assert refused.value.field == field and reason in refused.value.message


def test_a_variant_may_not_outlast_an_end_that_holds_all_over_the_world() -> None:
    texts = {each: PUBLISHED.text(each) for each in TABLE_NAMES}
    older = "federal-law-forbids,"
    line = next(row for row in texts["features"].splitlines() if row.startswith(older))
    law = line.replace("liquor,start,start", "liquor,both,both")
    late = law.replace(older, "law-late,").replace("US,liquor,both,both", "UK,liquor,both,none")
    late = late.replace("1964,1974", "1964,1980").removesuffix(",,") + ",federal-law-forbids,"
    texts["features"] = texts["features"].replace(line, law) + late + "\r\n"
    with pytest.raises(ReferenceError, match="ends earlier, all over the world"):
        load(texts)


def test_words_of_one_country_are_asked_for_as_often_as_its_bottles_come(ask: Ask, ref: Reference) -> None:
    """Without a region the wording of a country that hardly has a mark in the tables is no first question."""

    def bits(region: str | None) -> dict[str, float]:
        looks = ask({"region": region, "features": ["crown-finish"]}, look_next=True).look_next
        return {name: look.bits for look in looks for name in look.features}

    anywhere = bits(None)
    assert anywhere.get("sho-mark-jp", 0) < bits("JP")["sho-mark-jp"] / 5
    assert anywhere["zip-code"] > bits("US")["zip-code"] / 2
    assert ref.share_of("US") > 0.5 > ref.share_of("JP") >= 0 and ref.share_of("GB") == ref.share_of("UK")


def test_a_neighbours_row_is_asked_for_as_often_as_its_bottles_come(ask: Ask) -> None:
    """Denmark has hardly a mark in the tables beside Britain, America many beside Canada."""

    def bits(region: str) -> dict[str, float]:
        looks = ask({"region": region, "features": ["crown-finish"]}, look_next=True).look_next
        return {name: look.bits for look in looks for name in look.features}

    assert bits("UK").get("standard-beer-dk", 0) < bits("DK")["standard-beer-dk"] / 5
    assert bits("US")["zip-code"] > bits("CA")["zip-code"] > 0.01

"""What the store itself refuses, whichever way a row reaches it; parts are saved whole or not at all."""

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from catalogue.specimens.models import (
    Bottler,
    Inscription,
    KnownYears,
    Maker,
    MarkReading,
    Move,
    ObservedFeature,
    OwnCode,
    OwnMark,
    Product,
    Specimen,
    Town,
    Works,
)
from catalogue.specimens.services import Parts, keep_find, move_to, set_stage, set_standing
from tests import factories

pytestmark = pytest.mark.django_db


def refused(make) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        make()


def test_years_in_order_everywhere():
    maker, find = factories.brackwater(), factories.find()
    refused(lambda: Maker.objects.create(name="x", slug="x", from_year=1900, to_year=1899))
    refused(lambda: OwnMark.objects.create(maker=maker, letters="X", from_year=1900, to_year=1899))
    refused(lambda: OwnCode.objects.create(maker=maker, kind="other", valid_from=1900, valid_to=1899))
    refused(lambda: Works.objects.create(maker=maker, name="x", from_year=1900, to_year=1899))
    refused(lambda: Bottler.objects.create(name="x", slug="x", from_year=1900, to_year=1899))
    refused(lambda: KnownYears.objects.create(find=find, what="x", from_year=1900, to_year=1899))
    refused(lambda: Specimen.everything.filter(pk=find.pk).update(made_from=1900, made_to=1899))


def test_what_must_say_something_says_it():
    refused(lambda: KnownYears.objects.create(find=factories.find(), what="no year"))
    refused(lambda: OwnMark.objects.create(maker=factories.brackwater()))


def test_what_may_be_there_once_is_there_once():
    find, maker, town = factories.find(), factories.brackwater(), factories.town()
    published = Maker.objects.published().first()
    ObservedFeature.objects.create(find=find, feature="crown-finish")
    Works.objects.create(maker=maker, name="Quay works")
    Bottler.objects.create(name="Quill", slug="q1", town=town)
    Bottler.objects.create(name="Quill", slug="q2")
    Product.objects.create(name="Ale", slug="a1")
    refused(lambda: ObservedFeature.objects.create(find=find, feature="crown-finish", certainty="doubtful"))
    refused(lambda: Works.objects.create(maker=maker, name="Quay works"))
    refused(lambda: Bottler.objects.create(name="Quill", slug="q3", town=town))
    refused(lambda: Bottler.objects.create(name="Quill", slug="q4"))
    refused(lambda: Product.objects.create(name="Ale", slug="a2"))
    refused(lambda: Town.objects.create(name=town.name, slug="t2"))
    refused(lambda: Maker.objects.create(name="x", slug="x", reference_key=published.reference_key))


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("height_mm", "-5"),
        ("height_mm", "NaN"),
        ("depth_m", "-5"),
        ("depth_m", "351"),
        ("what", "n" * 201),
        ("what", ""),
        ("stage", "polished"),
    ],
)
def test_a_finds_own_bounds(field, value):
    find = Specimen(what="bottle")
    setattr(find, field, value)
    with pytest.raises(ValidationError) as caught:
        find.full_clean(exclude=["number", "number_year", "number_ordinal", "number_piece"])
    assert field in caught.value.message_dict


@pytest.mark.parametrize("year", [1599, 3000])
def test_a_year_that_cannot_be_is_refused(year):
    with pytest.raises(ValidationError):
        OwnMark(letters="X", from_year=year).clean_fields(exclude=["maker"])


def test_a_find_is_kept_whole_or_not_at_all():
    find = factories.find(parts=Parts(inscriptions=[Inscription(text="before")]))
    bad = Parts(
        inscriptions=[Inscription(text="after")],
        features=[ObservedFeature(feature="crown-finish"), ObservedFeature(feature="crown-finish")],
    )
    find.what = "renamed"
    refused(lambda: keep_find(find, bad, fields=["what"]))
    fresh = Specimen.objects.get()
    assert fresh.what == "Aqua soda bottle"
    assert [i.text for i in fresh.inscriptions.all()] == ["before"] and not fresh.features.exists()


def test_equal_parts_stay_the_same_rows_and_out_of_the_history():
    parts = Parts(
        inscriptions=[Inscription(text="MARROWBY"), Inscription(text="QUILL")],
        readings=[MarkReading(letters="BW", right="")],
        features=[ObservedFeature(feature="crown-finish")],
    )
    find = factories.find(parts=parts)
    keys = set(find.inscriptions.values_list("pk", flat=True))
    again = Parts(
        inscriptions=[Inscription(text="QUILL"), Inscription(text="MARROWBY")],
        readings=[MarkReading(letters="BW", right="")],
        features=[ObservedFeature(feature="crown-finish", certainty="doubtful")],
    )
    keep_find(find, again, fields=[])
    assert set(find.inscriptions.values_list("pk", flat=True)) == keys
    assert Inscription.history.count() == 2 and MarkReading.history.count() == 1
    assert find.features.get().certainty == "doubtful"


def test_not_looked_nothing_there_and_unreadable_are_three_things():
    rows = [
        MarkReading(letters="BW", right=None),
        MarkReading(letters="BW", right=""),
        MarkReading(letters="BW", right="?"),
    ]
    find = factories.find(parts=Parts(readings=rows))
    assert [r.right for r in find.readings.order_by("pk")] == [None, "", "?"]


def test_the_first_place_and_every_move_are_written_down():
    hall, shed = factories.place("Hall case"), factories.place("Shed box")
    find = factories.find(place=hall)
    move_to(find, shed, "dusting")
    move_to(find, shed, "again")
    move_to(find, None)
    moves = [(m.from_place, m.to_place, m.why) for m in Move.objects.order_by("pk")]
    assert moves == [(None, hall, "first place"), (hall, shed, "dusting"), (shed, None, "")]


def test_stage_and_standing_take_only_their_words():
    find = factories.find()
    set_stage(find, "done")
    set_standing(find, "free")
    for change in (set_stage, set_standing):
        with pytest.raises(ValueError, match="polished"):
            change(find, "polished")
    fresh = Specimen.objects.get()
    assert (fresh.stage, fresh.standing) == ("done", "free")


def test_visitors_see_what_is_free_or_shared():
    factories.find("kept")
    factories.find("free", standing="free")
    factories.find("shared", shared=True)
    hidden = factories.find("binned", shared=True)
    hidden.put_in_bin()
    assert {find.what for find in Specimen.objects.for_visitors()} == {"free", "shared"}

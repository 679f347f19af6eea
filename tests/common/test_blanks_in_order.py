"""Lists by a year or a day that may be blank: what has none stands last, on SQLite as on PostgreSQL."""

import datetime

import pytest
from django.apps import apps
from django.db.models import Count, F, OrderBy, Q
from django.db.models.functions import Coalesce, Lower

from catalogue.giving.models import Promise
from catalogue.giving.queries import promised
from catalogue.pages.still_looking_for.views import wishes
from catalogue.sites.models import Permission
from catalogue.specimens.models import Maker, OwnMark, Specimen, Wish, Works
from tests import factories
from tests.blanks_in_order import orders_judged

pytestmark = pytest.mark.django_db


def test_every_order_of_a_model_says_where_what_is_blank_stands():
    left_open, seen = [], 0
    for model in apps.get_models():
        if not model.__module__.startswith("catalogue."):
            continue
        for each in model._meta.ordering:
            seen += 1
            if isinstance(each, OrderBy):
                assert each.nulls_first or each.nulls_last, model
                continue
            name = str(each).lstrip("-")
            if name != "pk" and model._meta.get_field(name).null:
                left_open.append(f"{model.__name__}: {each}")
    assert left_open == [] and seen > 100


@pytest.mark.parametrize(
    "rows",
    [
        lambda: Specimen.objects.order_by("made_from"),
        lambda: Specimen.objects.order_by("-place__path"),
        lambda: Specimen.objects.order_by(Lower("maker__name")),
        lambda: Specimen.objects.filter(Q(made_from=1900) | Q(made_to=1900)).order_by("made_from"),
        lambda: Specimen.objects.values_list("made_best").order_by("made_best"),
    ],
)
def test_an_order_that_leaves_it_open_is_told(rows):
    with orders_judged(), pytest.raises(AssertionError, match="may be blank"):
        list(rows())


@pytest.mark.parametrize(
    "rows",
    [
        lambda: Specimen.objects.order_by(F("made_from").asc(nulls_last=True)),
        lambda: Specimen.objects.filter(made_from__isnull=False).order_by("made_from"),
        lambda: Specimen.objects.exclude(made_from=None).order_by("-made_from"),
        lambda: Specimen.objects.filter(made_from__gte=1900).order_by("made_from"),
        lambda: Specimen.objects.order_by(Coalesce("made_from", 0)),
        lambda: Works.objects.order_by("maker__name"),
        lambda: Specimen.objects.values("maker").annotate(n=Count("pk")).order_by("-n"),
    ],
)
def test_one_that_can_hold_nothing_blank_is_not(rows):
    with orders_judged():
        list(rows())


def test_works_and_marks_without_a_year_stand_below_the_dated_ones():
    maker = Maker.objects.create(name="Brackwater", slug="brackwater")
    for year in (None, 1930, 1910):
        Works.objects.create(maker=maker, name=f"Of {year}", from_year=year)
        OwnMark.objects.create(maker=maker, letters="BW", from_year=year)
    assert list(maker.works.values_list("from_year", flat=True)) == [1910, 1930, None]
    assert list(maker.own_marks.values_list("from_year", flat=True)) == [1910, 1930, None]


def test_permissions_without_a_day_stand_below_the_latest():
    site = factories.site()
    for day in (None, datetime.date(2020, 1, 1), datetime.date(2024, 1, 1)):
        Permission.objects.create(site=site, basis="owner", valid_from=day)
    found = [row.valid_from and row.valid_from.year for row in site.permissions.all()]
    assert found == [2024, 2020, None]


def test_a_promise_without_an_end_stands_below_those_that_lapse():
    who = factories.person()
    for day in (None, datetime.date(2024, 3, 1), datetime.date(2024, 1, 1)):
        Promise.objects.create(find=factories.find(), person=who, on=datetime.date(2023, 1, 1), until=day)
    assert [row.until and row.until.month for row in promised()] == [1, 3, None]


def test_a_wish_for_no_product_stands_below_those_for_one():
    Wish.objects.create(what="Anything")
    Wish.objects.create(what="Fizz", product=factories.product())
    assert [wish.what for wish in wishes()] == ["Fizz", "Anything"]

"""Which find a wish may be, what is sure of it, and striking off."""

import pytest
from django.db import IntegrityError, transaction

from catalogue.specimens.models import KnownYears, Specimen, Wish
from catalogue.specimens.services import Parts
from catalogue.specimens.services.merging import merge_records, part_records
from catalogue.specimens.services.wishes import WishStruckOff, look_again, strike_off, wishes_of
from tests import factories

pytestmark = pytest.mark.django_db


def find(first: int | None = 1930, last: int | None = 1935, **given: object) -> Specimen:
    known = [KnownYears(what="directory", from_year=first, to_year=last)] if first else []
    made = factories.find(parts=Parts(known=known), **given)
    made.refresh_from_db()
    return made


def told(piece: Specimen) -> list[tuple[str, bool]]:
    return [(str(each.wish), each.sure) for _, each in wishes_of([piece])]


@pytest.fixture
def town():
    return factories.town()


def test_one_of_a_town_is_any_piece_of_it_and_of_no_other(town):
    Wish.objects.create(town=town)
    assert told(find(town=town)) == [("Marrowby", True)]
    assert told(find(town=factories.town("Inchgate"))) == told(find()) == []


def test_of_several_subjects_all_have_to_hold(town):
    bottler = factories.bottler(town=town)
    Wish.objects.create(town=town, bottler=bottler)
    assert told(find(town=town)) == [] and told(find(town=town, bottler=bottler)) != []


@pytest.mark.parametrize(
    ("first", "last", "answer"),
    [
        (1930, 1935, [True]),  # all its years are wished for
        (1934, None, [False]),  # some of them
        (None, 1930, [False]),
        (1936, None, []),
        (None, 1929, []),
        (1936, 1936, []),
    ],
)
def test_years_decide_whether_it_is_may_be_or_is_not(town, first, last, answer):
    Wish.objects.create(town=town, from_year=first, to_year=last)
    assert [sure for _, sure in told(find(town=town))] == answer


def test_a_find_without_years_is_none_of_a_year(town):
    Wish.objects.create(town=town, from_year=1930)
    assert told(find(None, None, town=town)) == []


def test_words_that_nobody_can_check_leave_it_open(town):
    Wish.objects.create(town=town, what="the half pint")
    assert told(find(town=town)) == [("the half pint, Marrowby", False)]


def test_in_words_alone_each_of_them_stands_on_the_record():
    Wish.objects.create(what="GREEN còdd")
    assert told(find(what="Codd bottle, green")) == [("GREEN còdd", False)]
    assert told(find(what="Codd bottle, aqua")) == []


def test_struck_off_or_in_the_bin_it_is_not_offered(town):
    struck, binned = Wish.objects.create(town=town), Wish.objects.create(town=town)
    strike_off(struck)
    binned.put_in_bin()
    assert told(find(town=town)) == []
    look_again(struck)
    assert len(told(find(town=town))) == 1


def test_struck_off_twice_or_looked_for_twice_is_said(town):
    wish, piece = Wish.objects.create(town=town), find(town=town)
    assert strike_off(wish, piece).found == piece
    with pytest.raises(WishStruckOff, match="already"):
        strike_off(wish)
    wish.refresh_from_db()
    assert wish.found == piece
    assert look_again(wish).found is None
    with pytest.raises(WishStruckOff, match="already"):
        look_again(wish)


def test_the_surer_stands_first(town):
    Wish.objects.create(town=town)
    Wish.objects.create(town=town, what="with its lid")
    assert [sure for _, sure in told(find(town=town))] == [True, False]


def test_a_wish_follows_a_merge(town):
    other = factories.town("MARROWBY")
    wish = Wish.objects.create(town=other)
    made = merge_records(town, other)
    wish.refresh_from_db()
    assert wish.town == town
    part_records(made)
    wish.refresh_from_db()
    assert wish.town == other


def test_years_in_order_and_found_only_where_struck_off(town):
    for wrong in ({"from_year": 1930, "to_year": 1929}, {"found": find(town=town)}):
        with pytest.raises(IntegrityError), transaction.atomic():
            Wish.objects.create(town=town, **wrong)


def test_asking_is_one_query_of_however_many_finds(town, django_assert_num_queries):
    for n in range(5):
        Wish.objects.create(town=town, what=f"no. {n}")
    pieces = [find(town=town), find(town=town), find()]
    with django_assert_num_queries(1):
        assert len(wishes_of(pieces)) == 10

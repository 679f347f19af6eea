"""Merging on the pages of makers and people, look-alikes on lists, windows left open meanwhile."""

import pytest

from catalogue.common.models import KeptApart, Merge
from catalogue.people.models import Person
from catalogue.specimens.models import Bottler, Maker, OwnMark, Town
from catalogue.specimens.services.makers import keep_maker
from catalogue.specimens.services.merging import merge_records
from catalogue.specimens.services.towns import bottler_named, product_named
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def makers() -> tuple[Maker, Maker]:
    return factories.brackwater(), keep_maker(
        Maker(name="BRACKWATER BOTTLE CO."), marks=[OwnMark(letters="BWB", from_year=1930)]
    )


@pytest.fixture
def people() -> tuple[Person, Person]:
    return factories.person("Ansel Quick"), factories.person("ANSEL QUICK")


def test_a_maker_is_merged_and_parted_again_on_its_pages(owner_client, makers):
    kept, gone = makers
    shown = owner_client.get(f"/makers/{gone.slug}/merge/?into={kept.pk}").content.decode()
    assert "<li>1 own mark</li>" in shown and "Merge the two" in shown and not Merge.objects.exists()
    done = owner_client.post(f"/makers/{gone.slug}/merge/", {"into": kept.pk})
    assert (
        done["Location"] == owner_client.get(f"/makers/{gone.slug}/")["Location"] == kept.get_absolute_url()
    )
    undo = f"/makers/merges/{Merge.objects.get().pk}/undo/"
    assert owner_client.get(kept.get_absolute_url()).content.decode().count(undo) == 2
    assert owner_client.post(undo)["Location"] == gone.get_absolute_url()
    assert gone.own_marks.count() == 1


def test_a_published_maker_offers_no_merge_and_refuses_one(owner_client, makers):
    published = Maker.objects.published().order_by("pk").first()
    assert b"/merge/" not in owner_client.get(published.get_absolute_url()).content
    assert owner_client.get(f"{published.get_absolute_url()}merge/").status_code == 404
    assert (
        owner_client.post(f"{published.get_absolute_url()}merge/", {"into": makers[0].pk}).status_code == 404
    )


def test_marks_of_ones_own_on_a_published_maker_can_be_edited_but_not_its_name(owner_client, makers):
    published = Maker.objects.published().order_by("pk").first()
    merge_records(published, makers[1])
    page = owner_client.get(published.get_absolute_url()).content.decode()
    assert "Edit your marks of it" in page and "with marks of your own" in page
    mark = published.own_marks.get()
    sent = {
        **{f"{n}-TOTAL_FORMS": "0" for n in ("codes", "works")},
        **{f"{n}-INITIAL_FORMS": "0" for n in ("codes", "works")},
        **{"marks-TOTAL_FORMS": "1", "marks-INITIAL_FORMS": "1", "marks-0-id": mark.pk},
        **{"marks-0-letters": "BWB", "marks-0-from_year": "1931", "name": "Somebody else"},
    }
    assert owner_client.post(f"{published.get_absolute_url()}edit/", sent).status_code == 302
    mark.refresh_from_db()
    assert mark.from_year == 1931
    assert Maker.objects.get(pk=published.pk).name == published.name


def test_a_name_that_was_merged_is_not_added_once_more(owner_client, makers):
    merge_records(*makers)
    answer = owner_client.post("/makers/new/", {"name": "Brackwater Bottle Co.", "marks-TOTAL_FORMS": "0"})
    assert (
        answer.status_code == 422
        and "You merged a maker of that name into Brackwater" in answer.content.decode()
    )


def test_a_person_is_merged_and_parted_again(owner_client, people):
    kept, gone = people
    done = owner_client.post(f"/people/{gone.pk}/merge/", {"into": kept.pk})
    assert done["Location"] == owner_client.get(f"/people/{gone.pk}/")["Location"] == f"/people/{kept.pk}/"
    undo = f"/people/merges/{Merge.objects.get().pk}/undo/"
    assert undo in owner_client.get(f"/people/{kept.pk}/").content.decode()
    assert owner_client.post(undo)["Location"] == f"/people/{gone.pk}/"
    assert Person.objects.count() == 2


def test_an_erased_person_can_be_chosen_by_nobody(owner_client, people):
    kept, gone = people
    owner_client.post(f"/people/{kept.pk}/erase/")
    assert owner_client.post(f"/people/{gone.pk}/merge/", {"into": kept.pk}).status_code == 422
    assert owner_client.get(f"/people/{kept.pk}/merge/").status_code == 404


def test_the_bin_neither_lists_nor_gives_back_what_was_merged(owner_client, people):
    kept, gone = people
    merge_records(kept, gone)
    assert "ANSEL QUICK" not in owner_client.get("/bin/").content.decode()
    for act in ("back", "empty"):
        assert owner_client.post(f"/bin/person/{gone.pk}/{act}/").status_code == 404
    gone.refresh_from_db()
    assert gone.binned_at and gone.name == "ANSEL QUICK"


@pytest.mark.parametrize("room", ["people", "towns", "makers"])
def test_a_form_left_open_while_its_record_was_merged_comes_back_with_its_words(owner_client, room):
    if room == "people":
        kept, gone = factories.person("Ansel Quick"), factories.person("Wyn Hale")
        address, sent = f"/people/{gone.pk}/", {"name": "Wyn H.", "reach": "at the inn"}
    elif room == "towns":
        kept, gone = factories.town("Marrowby"), factories.town("Inchgate")
        address, sent = f"/towns/{gone.slug}/edit/", {"name": "Inchgate", "notes": "at the inn"}
    else:
        kept, gone = factories.brackwater(), Maker.objects.create(name="Orlick", slug="orlick")
        address, sent = "/makers/orlick/edit/", {"name": "Orlick", "notes": "at the inn"}
    merge_records(kept, gone)
    answer = owner_client.post(address, sent)
    words = answer.content.decode()
    assert answer.status_code == 422 and "at the inn" in words
    assert f"It was merged into {kept} meanwhile" in words and "Take it out" not in words
    assert type(gone).everything.get(pk=gone.pk).binned_at


def test_lists_say_what_looks_like_one_and_ask_no_more_when_told(owner_client, makers, people):
    factories.town("Marrowby"), factories.town("MAROWBY")
    for room in ("makers", "people", "towns"):
        page = owner_client.get(f"/{room}/").content.decode()
        assert "1 pair may be one" in page and page.count("merge/?into=") == 1
    one, other = Town.objects.order_by("-pk")
    assert owner_client.post(f"/towns/apart/{one.pk}/{other.pk}/").status_code == 302
    owner_client.post(f"/towns/apart/{other.pk}/{one.pk}/")
    assert KeptApart.objects.count() == 1
    assert "may be one" not in owner_client.get("/towns/").content.decode()
    assert "may be one" in owner_client.get("/people/").content.decode()


def test_pairs_say_their_towns_and_how_many_more_there_are(owner_client):
    for n in range(15):
        town = factories.town(f"Inchgate {n:02}", region="NQ")
        for name in ("Quill & Sons", "QUILL AND SONS"):
            factories.bottler(name, town=town)
    page = owner_client.get("/bottlers/").content.decode()
    assert "15 pairs may be one" in page and page.count("merge/?into=") == 12
    assert "3 more come up when these are answered" in page
    assert "<bdi>Quill &amp; Sons, Inchgate 03, NQ</bdi>" in page
    # answered from the list, one is back at the list, at its next pair
    gone, kept = Bottler.objects.filter(town__name="Inchgate 00").order_by("-pk")
    shown = owner_client.get(f"/bottlers/{gone.slug}/merge/?into={kept.pk}&from=list").content.decode()
    assert '<input type="hidden" name="from" value="list">' in shown
    done = owner_client.post(f"/bottlers/{gone.slug}/merge/", {"into": kept.pk, "from": "list"})
    assert done["Location"] == "/bottlers/?alike=1#alike"
    page = owner_client.get("/bottlers/?alike=1").content.decode()
    assert "14 pairs may be one" in page and 'id="alike" open' in page
    one, other = Bottler.objects.filter(town__name="Inchgate 01")
    said = owner_client.post(f"/bottlers/apart/{one.pk}/{other.pk}/")
    assert said["Location"] == "/bottlers/?alike=1#alike"


def test_a_product_of_many_bottlers_is_not_said_to_be_the_one_of_a_bottler(owner_client):
    quill, marrow = factories.bottler("Quill & Sons"), factories.bottler("Marrow Bros")
    loose = factories.product("Cordial")
    factories.product("CORDIAL", bottler=quill)
    factories.find(product=loose, bottler=quill)
    assert "1 pair may be one" in owner_client.get("/products/").content.decode()
    factories.find(product=loose, bottler=marrow)
    assert "may be one" not in owner_client.get("/products/").content.decode()
    # a third of no bottler, and of no piece, may be either
    factories.product("cordial")
    assert "2 pairs may be one" in owner_client.get("/products/").content.decode()


@pytest.mark.parametrize("kind", ["bottler", "product"])
def test_bottlers_and_products_are_merged_and_parted_again(owner_client, kind):
    made = bottler_named if kind == "bottler" else product_named
    kept, gone = made("Quill & Sons"), made("QUILL AND SONS")
    find = factories.find(**{kind: gone})
    page = owner_client.get(f"/{kind}s/").content.decode()
    # the one that pieces are of is offered as the one to keep; it may be done the other way round
    assert f"/{kind}s/{kept.slug}/merge/?into={gone.pk}" in page and f"/{kind}s/apart/" in page
    assert (
        "<li>1 find</li>" in owner_client.get(f"/{kind}s/{gone.slug}/merge/?into={kept.pk}").content.decode()
    )
    done = owner_client.post(f"/{kind}s/{gone.slug}/merge/", {"into": kept.pk})
    leads = owner_client.get(f"/{kind}s/{gone.slug}/")["Location"]
    assert done["Location"] == leads == kept.get_absolute_url()
    find.refresh_from_db()
    assert getattr(find, kind) == kept
    undo = f"/{kind}s/merges/{Merge.objects.get().pk}/undo/"
    assert owner_client.get(kept.get_absolute_url()).content.decode().count(undo) == 2
    assert owner_client.post(undo)["Location"] == gone.get_absolute_url()
    find.refresh_from_db()
    assert getattr(find, kind) == gone


def test_two_that_are_not_there_are_not_said_to_be_two(owner_client):
    town = factories.town()
    for other in (town.pk, 99):
        owner_client.post(f"/towns/apart/{town.pk}/{other}/")
    assert not KeptApart.objects.exists()


def test_the_way_of_merging_offered_keeps_what_is_known_better(owner_client):
    bare, placed = (
        factories.town("MARROWBY"),
        factories.town("Marrowby", region="ME", latitude=1, longitude=1),
    )
    page = owner_client.get("/towns/").content.decode()
    assert f"/towns/{bare.slug}/merge/?into={placed.pk}" in page


def test_published_makers_are_not_compared_with_each_other(owner_client, makers):
    assert owner_client.get("/makers/").content.decode().count("merge/?into=") == 1


def test_visitors_are_sent_to_the_door(client, makers, people):
    for address in (
        f"/makers/{makers[1].slug}/merge/",
        f"/people/{people[1].pk}/merge/",
        "/people/apart/1/2/",
    ):
        assert "/enter/" in client.post(address, {"into": 1})["Location"]
    assert not Merge.objects.exists() and not KeptApart.objects.exists()


def test_queries(owner_client, makers, django_assert_max_num_queries):
    with django_assert_max_num_queries(12):
        owner_client.get(f"/makers/{makers[1].slug}/merge/")
    with django_assert_max_num_queries(24):
        owner_client.get(f"/makers/{makers[1].slug}/merge/?into={makers[0].pk}")
    with django_assert_max_num_queries(14):
        owner_client.get("/people/")

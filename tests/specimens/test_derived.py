"""Derived columns follow whatever they are worked out from, by whichever way that was changed."""

import datetime
from threading import Event

import pytest
from django.core.management import call_command
from django.utils import timezone

from catalogue.access import background
from catalogue.shelves.models import Place
from catalogue.shelves.services import keep_place
from catalogue.sites.services import log_dive
from catalogue.specimens.derived import refresh
from catalogue.specimens.derived.redating import worker
from catalogue.specimens.models import (
    Inscription,
    KnownYears,
    Maker,
    MarkReading,
    Opinion,
    OwnMark,
    Product,
    Specimen,
    Town,
)
from catalogue.specimens.services import Parts, give_opinion, keep_find
from catalogue.specimens.services.makers import keep_maker
from catalogue.specimens.services.towns import keep_town
from catalogue.specimens.services.trade import keep_bottler
from tests import factories

from .derived_parts import agree, bw_read, found

pytestmark = pytest.mark.django_db
DAY = datetime.date(2024, 6, 1)


@pytest.fixture
def bw():
    return bw_read()


class TestRenames:
    def test_a_place_and_all_inside_it_the_bin_included(self, db):
        hall = factories.place("Hall case")
        shelf = factories.place("third shelf", parent=hall)
        old = factories.place("old box", parent=hall)
        factories.find("on the shelf", place=shelf)
        factories.find("in the box", place=old)
        # an older catalogue may hold a binned place with something in it
        Place.everything.filter(pk=old.pk).update(binned_at=timezone.now())
        hall.name = "Garden case"
        keep_place(hall)
        assert found("garden case") == ["in the box", "on the shelf"] and found("hall") == []
        assert {str(place) for place in Place.everything.all()} == {
            "Garden case",
            "Garden case, third shelf",
            "Garden case, old box",
        }
        assert agree()

    def test_a_place_moved_into_another(self, db):
        hall, box = factories.place("Hall case"), factories.place("Shed box")
        factories.find("bottle", place=box)
        box.parent = hall
        box.save(update_fields=["parent"])
        assert found("hall case") == ["bottle"] and agree()

    def test_a_place_by_its_own_form(self, owner_client):
        hall = factories.place("Hall case")
        factories.find("bottle", place=factories.place("third shelf", parent=hall))
        data = {"name": "Garden case", "parent": "", "kind": "case", "notes": ""}
        answer = owner_client.post(f"/shelves/{hall.pk}/edit/", data)
        assert answer.status_code == 302
        assert found("garden third") == ["bottle"] and agree()

    def test_a_site_by_its_own_form(self, owner_client):
        site = factories.site("Heron Ledge")
        factories.find("dived", dive=factories.dive(site))
        factories.find("loose", site=site)
        page = f"/dives/sites/{site.slug}/edit/"
        form = owner_client.get(page).context["form"]
        data = {name: form[name].value() for name in form.fields if form[name].value()}
        assert owner_client.post(page, data | {"name": "Egret Ledge"}).status_code == 302
        assert found("egret") == ["loose", "dived"] and found("heron") == [] and agree()

    def test_a_town_by_its_service_and_by_itself(self, db):
        town = factories.town("Marrowby")
        factories.find("bottle", town=town)
        town.name = "Inchgate"
        keep_town(town, ["name"])
        assert found("inchgate") == ["bottle"]
        town.region = "Velmoor"
        town.save()
        assert found("velmoor") == ["bottle"] and agree()

    def test_the_key_of_a_town_follows_an_update_of_many(self, db):
        for name in ("Marrowby", "Inchgate"):
            factories.town(name)
        Town.objects.filter(name="Inchgate").update(name="St. Orlick")
        assert {town.key == town.key_now() for town in Town.objects.all()} == {True} and agree()

    def test_a_bottler_and_a_product(self, db):
        bottler = factories.bottler("Quill & Sons")
        product = Product.objects.create(name="Ormer Water", slug="ormer")
        factories.find("bottle", bottler=bottler, product=product)
        bottler.name = "Whelk Brothers"
        keep_bottler(bottler, ["name"])
        product.name = "Tallow Ale"
        product.save()
        assert found("whelk tallow") == ["bottle"] and found("quill") == found("ormer") == []
        assert agree()

    def test_a_maker(self, bw):
        find = factories.find("bottle", bw)
        maker = find.maker
        maker.name = "Orlick Flint Glass"
        keep_maker(maker)
        assert found("orlick") == ["bottle"] and found("brackwater") == [] and agree()

    def test_a_maker_of_very_many_finds_is_searched_by_its_new_name_at_once(self, bw, monkeypatch):
        find = factories.find("bottle", bw)
        monkeypatch.setattr(refresh, "REDATED_AT_ONCE", 0)
        monkeypatch.setattr(worker, "running", True)
        find.maker.name = "Orlick Flint Glass"
        keep_maker(find.maker)
        assert found("orlick") == ["bottle"]


class TestDives:
    def test_another_date_dates_its_finds_anew(self, db):
        dive = factories.dive(date=datetime.date(2024, 6, 1))
        find = factories.find("bottle", Parts(known=[KnownYears(what="law", from_year=1964)]), dive=dive)
        before = find.made_ruler["curve"][-1][0]
        dive.date = datetime.date(1990, 6, 1)
        log_dive(dive)
        find.refresh_from_db()
        assert find.made_ruler["curve"][-1][0] == 1990 < before
        assert agree()

    def test_another_site_is_found_by_search(self, db):
        dive = factories.dive(factories.site("Heron Ledge"))
        factories.find("bottle", dive=dive)
        dive.site = factories.site("Tallow Cove")
        log_dive(dive)
        assert found("tallow") == ["bottle"] and found("heron") == [] and agree()

    def test_by_its_own_form(self, owner_client):
        dive = factories.dive(factories.site("Heron Ledge"))
        factories.find("bottle", dive=dive)
        other = factories.site("Tallow Cove")
        data = {"site": other.pk, "date": "2024-06-01", "start": "", "minutes": "", "notes": ""}
        assert owner_client.post(f"{dive.get_absolute_url()}edit/", data).status_code == 302
        assert found("tallow") == ["bottle"] and agree()


class TestTables:
    def test_search_knows_the_maker_that_redating_brought(self, bw):
        find = factories.find("bottle", bw)
        OwnMark.objects.update(letters="ZQ", changed=datetime.datetime(2030, 1, 1, tzinfo=datetime.UTC))
        call_command("redate")
        find.refresh_from_db()
        assert find.maker is None and found("brackwater") == [] and agree()

    def test_the_worker_is_woken_only_once_the_change_is_committed(
        self, bw, monkeypatch, django_capture_on_commit_callbacks
    ):
        find = factories.find("bottle", bw)
        woken = []
        monkeypatch.setattr(refresh, "REDATED_AT_ONCE", 0)
        monkeypatch.setattr(worker, "running", True)
        monkeypatch.setattr(worker, "wake", lambda: woken.append(True))
        with django_capture_on_commit_callbacks() as later:
            mark = find.maker.own_marks.get()
            mark.to_year = 1940
            assert keep_maker(find.maker, marks=[mark]).rephrased == 0
            assert not woken
        assert len(later) == 1

    def test_published_makers_reach_a_catalogue_at_its_next_start(self, db):
        """A find was read with tables whose makers are not here yet, as after an update of the program."""
        Maker.everything.published().delete()
        find = factories.find("bottle", Parts(readings=[MarkReading(letters="LG", right="69")]))
        assert (find.made_words, find.maker, find.maker_how) == ("probably 1969", None, "")
        assert worker.run in background._works
        stop = Event()
        stop.set()
        worker.run(stop)
        call_command("redate")
        find.refresh_from_db()
        assert find.maker.reference_key and find.maker_how == "likely" and agree()


class TestDeletions:
    def test_what_a_find_led_to(self, db):
        town, bottler, place = factories.town(), factories.bottler(), factories.place()
        bottler.from_year, bottler.to_year = 1880, 1890
        bottler.save()
        find = factories.find("bottle", town=town, bottler=bottler, place=place)
        assert find.made_words == "about 1880 to 1890"
        for row in (town, bottler, place):
            row.delete()
        find.refresh_from_db()
        assert (
            find.made_words == "not yet dated" and found("marrowby") == found("quill") == found("hall") == []
        )
        assert agree()

    def test_a_maker_shown_or_held_by_opinion(self, bw):
        likely = factories.find("by its mark", bw)
        maker = likely.maker
        held = factories.find("by opinion")
        give_opinion(Opinion(find=held, about="maker", value=maker.name, maker=maker, on=DAY))
        maker.delete()
        for find in (likely, held):
            find.refresh_from_db()
            assert (find.maker, find.maker_how, find.maker_probability) == (None, "", None)
        assert found("by its mark") and agree()

    def test_a_find_with_its_parts(self, bw):
        find = factories.find("bottle", bw)
        keep_find(find, Parts(inscriptions=[Inscription(text="WHELK")]), fields=[])
        find.delete()
        assert not Specimen.everything.exists() and agree()

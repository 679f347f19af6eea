"""Derived columns follow whatever they are worked out from, by whichever way that was written."""

import datetime
from threading import Event

import pytest
from django.core.management import call_command
from django.db import connection, transaction

from catalogue.access import background
from catalogue.shelves.models import Place
from catalogue.shelves.services import keep_place
from catalogue.sites.services import log_dive
from catalogue.specimens.derived import refresh
from catalogue.specimens.derived.check import differences, differences_elsewhere
from catalogue.specimens.derived.redating import worker
from catalogue.specimens.derived.refresh import refreshing
from catalogue.specimens.models import (
    Inscription,
    KnownYears,
    Maker,
    MarkReading,
    NumberSeries,
    Opinion,
    OwnMark,
    PhraseChange,
    Product,
    Specimen,
)
from catalogue.specimens.services import Parts, give_opinion, keep_find
from catalogue.specimens.services.makers import keep_maker
from catalogue.specimens.services.towns import keep_bottler, keep_town
from tests import factories

pytestmark = pytest.mark.django_db
DAY = datetime.date(2024, 6, 1)


def found(words: str) -> list[str]:
    return [find.what for find in Specimen.everything.matching(words)]


def agree() -> bool:
    """Whether everything stored is what it should be."""
    keys = list(Specimen.everything.values_list("pk", flat=True))
    wrong = [*differences(keys), *differences_elsewhere()]
    assert wrong == []
    return True


@pytest.fixture
def bw():
    """A mark that a maker is known by."""
    factories.brackwater()
    return Parts(readings=[MarkReading(letters="BW", symbol="wave", right="6")])


class TestRenames:
    def test_a_place_and_all_inside_it_the_bin_included(self, db):
        hall = factories.place("Hall case")
        shelf = factories.place("third shelf", parent=hall)
        old = factories.place("old box", parent=hall)
        old.put_in_bin()
        factories.find("on the shelf", place=shelf)
        factories.find("in the box", place=old)
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

    def test_a_place_in_the_administration_pages(self, owner_client):
        hall = factories.place("Hall case")
        factories.find("bottle", place=factories.place("third shelf", parent=hall))
        data = {"name": "Garden case", "parent": "", "kind": "case", "notes": ""}
        answer = owner_client.post(f"/admin/shelves/place/{hall.pk}/change/", data)
        assert answer.status_code == 302
        assert found("garden third") == ["bottle"] and agree()

    def test_a_site_by_its_own_form(self, owner_client):
        site = factories.site("Heron Ledge")
        factories.find("dived", dive=factories.dive(site))
        factories.find("loose", site=site)
        page = f"/dives/sites/{site.slug}/edit/"
        form = owner_client.get(page).context["form"]
        data = {name: form[name].value() or "" for name in form.fields if form[name].value() is not None}
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
        monkeypatch.setattr(refresh, "AT_ONCE", 0)
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

    def test_in_the_administration_pages(self, owner_client):
        dive = factories.dive(factories.site("Heron Ledge"))
        factories.find("bottle", dive=dive)
        other = factories.site("Tallow Cove")
        data = {"site": other.pk, "date": "2024-06-01", "start": "", "minutes": "", "notes": ""}
        assert owner_client.post(f"/admin/sites/dive/{dive.pk}/change/", data).status_code == 302
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
        monkeypatch.setattr(refresh, "AT_ONCE", 0)
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
        assert (find.made_words, find.maker, find.maker_how) == ("1969", None, "")
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


class TestWrites:
    def test_a_part_saved_by_itself(self, db):
        find = factories.find("bottle")
        known = find.known_years.create(what="directory", from_year=1884, to_year=1890)
        find.refresh_from_db()
        assert find.made_words == "about 1884 to 1890"
        known.delete()
        find.refresh_from_db()
        assert find.made_words == "not yet dated" and agree()

    def test_a_find_saved_whole_from_an_old_copy(self, db):
        find = factories.find("bottle")
        old = Specimen.objects.get(pk=find.pk)
        keep_find(find, Parts(known=[KnownYears(what="directory", from_year=1884, to_year=1890)]))
        old.notes = "chipped"
        old.save()
        assert old.made_words == "about 1884 to 1890"
        assert found("chipped") == ["bottle"] and agree()

    def test_many_updated_at_once(self, bw):
        dive = factories.dive(factories.site("Heron Ledge"))
        finds = [factories.find("one", bw, colour="aqua"), factories.find("two", dive=dive)]
        Specimen.everything.update(colour="olive", notes="from the shed")
        assert set(found("shed olive")) == {"one", "two"}
        MarkReading.objects.update(right="7")
        type(dive).everything.update(date=datetime.date(1990, 6, 1), site=factories.site("Tallow Cove"))
        assert found("tallow") == ["two"]
        finds[0].refresh_from_db()
        assert finds[0].made_words == "one of 1927, 1937, 1947" and agree()

    def test_a_change_of_something_else_is_listed_as_a_changed_phrase_and_not_in_the_finds_history(self, db):
        bottler = factories.bottler(from_year=1880, to_year=1890)
        find = factories.find("bottle", bottler=bottler)
        lines, changed = find.history.count(), find.changed
        bottler.to_year = 1889
        bottler.save()
        find.refresh_from_db()
        assert find.made_words == "about 1880 to 1889"
        assert (find.history.count(), find.changed) == (lines, changed)
        assert PhraseChange.objects.get().was == "about 1880 to 1890"

    def test_an_earlier_state_with_dive_and_site_comes_back_with_the_dive(self, db):
        find = factories.find("bottle", dive=factories.dive(factories.site("Heron Ledge")))
        find.site = factories.site("Tallow Cove")
        keep_find(find, fields=["dive"])
        find.refresh_from_db()
        assert find.site is None and found("heron") == ["bottle"] and agree()


class TestCollecting:
    def test_writes_of_a_service_are_followed_once_at_its_end(self, db, monkeypatch):
        find = factories.find("bottle")
        asked = []
        real = refresh._redate_touched
        monkeypatch.setattr(refresh, "_redate_touched", lambda keys: asked.append(set(keys)) or real(keys))
        with refreshing():
            with refreshing():
                find.known_years.create(what="directory", from_year=1884, to_year=1890)
            find.inscriptions.create(text="WHELK")
            assert asked == [] and found("whelk") == []
        assert asked == [{find.pk}] and found("whelk") == ["bottle"] and agree()

    def test_what_was_rolled_back_leaves_nothing_to_follow(self, db):
        find = factories.find("bottle")
        with pytest.raises(ZeroDivisionError), refreshing():
            find.inscriptions.create(text="WHELK")
            1 / 0  # noqa: B018
        factories.find("another")
        with refreshing():
            with pytest.raises(ZeroDivisionError), transaction.atomic():
                Specimen.objects.create(
                    what="lost", number="2024.0.9", number_year=2024, number_ordinal=0, number_piece=9
                )
                1 / 0  # noqa: B018
            find.inscriptions.create(text="ORMER")
        assert found("ormer") == ["bottle"] and found("whelk") == [] and agree()

    def test_a_lone_write_that_leads_nowhere_costs_no_query(self, db, django_assert_num_queries):
        find, site = factories.find("bottle"), factories.site()
        # the row, and its line of history
        with django_assert_num_queries(2):
            find.save(update_fields=["stage"])
        with django_assert_num_queries(2):
            site.save(update_fields=["notes"])


class TestCheck:
    BROKEN = {
        "made_words": "about 1700",
        "made_from": 1700,
        "made_spread": "1700-1701",
        "maker_probability": 0.75,
        "search_text": "nothing",
        "number_piece": 77,
        "made_with": "an older edition",
    }

    @pytest.mark.parametrize("column", BROKEN)
    def test_a_column_broken_behind_its_back_is_found_and_mended(self, bw, column, capsys):
        find = factories.find("bottle", bw)
        factories.find("another")
        with connection.cursor() as cursor:
            cursor.execute(
                f"UPDATE specimens_specimen SET {column} = %s WHERE id = %s", [self.BROKEN[column], find.pk]
            )
        with pytest.raises(SystemExit) as end:
            call_command("check_derived", all=True)
        assert end.value.code == 1
        said = capsys.readouterr().out
        assert f"{find.number} {column}: stored {self.BROKEN[column]!r}, expected " in said
        # a piece of a later number also says that its series is behind
        assert said.count("expected ") == (2 if column == "number_piece" else 1)
        call_command("check_derived", all=True, mend=True)
        assert agree() and NumberSeries.objects.get().last == 2
        call_command("check_derived", sample=1)
        assert "Everything agrees (1 find looked at)." in capsys.readouterr().out

    def test_what_is_wrong_elsewhere(self, db, capsys):
        hall = factories.place("Hall case")
        shelf = factories.place("third shelf", parent=hall)
        factories.find("bottle", dive=factories.dive(), place=shelf)
        with connection.cursor() as cursor:
            cursor.execute("UPDATE shelves_place SET path = 'nowhere' WHERE id = %s", [hall.pk])
            cursor.execute("UPDATE specimens_numberseries SET last = 0")
            cursor.execute("UPDATE sites_diveseries SET last = 0")
            cursor.execute("DELETE FROM specimens_maker WHERE name = %s", [Maker.objects.first().name])
        with pytest.raises(SystemExit):
            call_command("check_derived", sample=0)
        said = capsys.readouterr().out
        for words in ("place Hall case path", "numbers 2024.1 last", "dives of 2024 last", "maker "):
            assert words in said
        call_command("check_derived", all=True, mend=True)
        shelf.refresh_from_db()
        assert shelf.path == "Hall case, third shelf" and agree()

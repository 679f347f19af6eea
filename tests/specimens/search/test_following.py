"""Entries follow every write of every kind of record, within its transaction, and are compared and mended."""

import datetime

import pytest
from django.core.management import call_command
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from catalogue.people.services import erase
from catalogue.specimens.derived import entries
from catalogue.specimens.derived.entries import ENTRY_SOURCES, fill_missing
from catalogue.specimens.derived.refresh import refreshing
from catalogue.specimens.models import (
    Bottler,
    OwnMark,
    Product,
    SearchEntry,
    SearchWord,
    Specimen,
    WordDeletion,
    Works,
)
from catalogue.specimens.search.answers import search
from catalogue.specimens.search.index import TRIGRAMS, has_fts
from catalogue.specimens.search.kinds import KIND_OF
from catalogue.specimens.search.spelling import NUMBERS
from catalogue.specimens.services.merging import merge_records, part_records
from tests import factories
from tests.specimens.derived_parts import agree

pytestmark = pytest.mark.django_db


def kinds_with(words: str) -> dict[str, list[str]]:
    """Kind -> names of what holds the words as they were typed."""
    answer = search(words)
    if answer.understood.replaced:
        return {}
    return {found.kind.key: [str(row) for row in found.rows] for found in answer.found}


def product(name: str, bottler: Bottler | None = None) -> Product:
    return Product.objects.create(name=name, slug=name.lower().replace(" ", "-"), bottler=bottler)


def test_a_record_of_each_kind_is_found_renamed_binned_and_taken_out_again():
    site = factories.site("Zinnober Ledge")
    made = {
        "makers": factories.brackwater(),
        "bottlers": factories.bottler("Zinnober Brothers"),
        "products": product("Zinnober Dew"),
        "towns": factories.town("Zinnoberton"),
        "sites": site,
        "shelves": factories.place("Zinnober case"),
        "people": factories.person("Zinnober Quick"),
    }
    made["makers"].name = "Zinnober Glass"
    made["makers"].save()
    dive = factories.dive(site)
    assert set(kinds_with("zinnober")) == {*made, "dives"}
    dive.put_in_bin()
    assert "dives" not in kinds_with("zinnober")
    for key, row in made.items():
        row.name = f"Krapplack {key}"
        row.save(update_fields=["name"])
        assert key in kinds_with("krapplack") and key not in kinds_with("zinnober"), key
        row.put_in_bin()
        assert key not in kinds_with("krapplack"), key
        row.take_out_of_bin()
        assert key in kinds_with("krapplack"), key
    assert agree()


def test_what_leads_to_a_record_is_followed():
    town = factories.town("Marrowby")
    bottler = factories.bottler("Qwill & Sons", town=town)
    product("Ginger dew", bottler)
    maker = factories.brackwater()
    dive = factories.dive(factories.site("Heron Ledge"))
    dive.buddies.add(person := factories.person("Ansel Quick"))
    assert set(kinds_with("marrowby")) == {"towns", "bottlers"}
    assert set(kinds_with("qwill")) == {"bottlers", "products"}
    assert set(kinds_with("ansel")) == {"people", "dives"}
    town.name = "Krapplack"
    town.save()
    assert set(kinds_with("krapplack")) == {"towns", "bottlers"} and kinds_with("marrowby") == {}
    Bottler.objects.filter(pk=bottler.pk).update(name="Ormerli")
    assert set(kinds_with("ormerli")) == {"bottlers", "products"}
    OwnMark.objects.filter(maker=maker).update(letters="ZQXJ")
    assert kinds_with("zqxj") == {"makers": [maker.name]}
    works = Works.objects.create(maker=maker, name="Velm works")
    assert kinds_with("velm works") == {"makers": [maker.name]}
    works.delete()
    assert kinds_with("velm works") == {}
    dive.buddies.clear()
    assert set(kinds_with("ansel")) == {"people"}
    person.dives.add(dive)
    assert set(kinds_with("ansel")) == {"people", "dives"}
    assert agree()


def test_an_erased_person_is_in_no_entry_and_no_list_of_words():
    dive = factories.dive()
    dive.buddies.add(person := factories.person("Xaverine Quick"))
    assert SearchWord.objects.filter(word="xaverine").exists()
    erase(person)
    assert kinds_with("xaverine") == {}
    assert not SearchEntry.objects.filter(text__contains="xaverine").exists()
    assert not SearchWord.objects.filter(word="xaverine").exists()
    if has_fts():
        with connection.cursor() as cursor:
            for table in (f"{TRIGRAMS}_data", "specimens_search_words_data"):
                cursor.execute(f"SELECT count(*) FROM {table} WHERE instr(block, 'xaverine') > 0")
                assert cursor.fetchone() == (0,)


def test_merged_towns_and_their_finds_follow_and_so_does_the_undo():
    kept, gone = factories.town("Marrowby"), factories.town("Old Krapplack")
    find = factories.find("Soda", town=gone)
    assert set(kinds_with("krapplack")) == {"towns", "finds"}
    merge = merge_records(kept, gone)
    assert kinds_with("krapplack") == {}
    assert kinds_with("marrowby") == {"towns": ["Marrowby"], "finds": [str(find)]}
    part_records(merge)
    assert set(kinds_with("krapplack")) == {"towns", "finds"} and agree()


def test_a_find_in_the_bin_is_not_found_and_its_words_are_not_proposed():
    find = factories.find("Zinnober soda")
    find.put_in_bin()
    assert kinds_with("zinnober") == {} and not SearchWord.objects.filter(word="zinnober").exists()
    assert search("zinober").understood.replaced == ()
    find.take_out_of_bin()
    assert kinds_with("zinnober") == {"finds": [str(find)]}
    find.put_in_bin()
    find.delete()
    assert agree()


def test_what_is_rolled_back_is_not_found():
    with pytest.raises(ZeroDivisionError), transaction.atomic():
        factories.town("Zinnoberton")
        assert kinds_with("zinnoberton") == {"towns": ["Zinnoberton"]}
        1 / 0  # noqa: B018
    assert kinds_with("zinnoberton") == {}
    with pytest.raises(ZeroDivisionError), refreshing():
        factories.town("Zinnoberton")
        1 / 0  # noqa: B018
    factories.town("Marrowby")
    assert kinds_with("zinnoberton") == {} and agree()


def test_many_writes_of_a_service_write_an_entry_once():
    town = factories.town("Marrowby")
    with CaptureQueriesContext(connection) as asked, refreshing():
        for name in ("One", "Two", "Three"):
            town.name = name
            town.save(update_fields=["name"])
    assert sum("INSERT INTO" in q["sql"] and "searchentry" in q["sql"] for q in asked.captured_queries) == 1


def test_years_of_a_dive_follow_its_date():
    dive = factories.dive(date=datetime.date(2021, 3, 4))
    assert kinds_with("march 2021") == {"dives": [str(dive)]}
    type(dive).objects.update(date=datetime.date(2021, 5, 4))
    assert kinds_with("march 2021") == {} and kinds_with("may 2021") == {"dives": [str(dive)]}


@pytest.mark.parametrize("many", [0, 2000])
def test_a_catalogue_from_before_there_were_entries_gets_them_at_its_start(monkeypatch, many):
    monkeypatch.setattr(entries, "MANY", many)
    find = factories.find("Zinnober soda", town=factories.town("Marrowby"))
    for model in (SearchEntry, SearchWord, WordDeletion):
        model.objects.all().delete()
    assert kinds_with("zinnober") == {}
    fill_missing()
    assert kinds_with("zinnober") == {"finds": [str(find)]} and agree()
    factories.town("Ochreton")
    assert kinds_with("ochreton") == {"towns": ["Ochreton"]}


def test_what_was_changed_behind_its_back_is_named_and_mended(capsys):
    find, town = factories.find("Soda"), factories.town("Marrowby")
    SearchEntry.objects.filter(pk=find.pk).update(text=" krapplack ")
    SearchEntry.objects.filter(text__contains="marrowby").delete()
    SearchWord.objects.filter(word="soda").update(entries=7)
    with pytest.raises(SystemExit):
        call_command("check_derived", all=True)
    said = capsys.readouterr().out
    for words in (f"{find.number} search entry", f"towns {town.pk} search entry", "word soda entries"):
        assert words in said
    call_command("check_derived", all=True, mend=True)
    assert kinds_with("soda") == {"finds": [str(find)]} and kinds_with("marrowby") and agree()


def test_words_of_a_list_from_before_it_had_keys_get_theirs_at_the_start():
    factories.find("Zinnober soda")
    for model in (SearchWord, WordDeletion):
        model.objects.all().delete()
    fill_missing()
    assert search("zinobre").understood.replaced[0].word == "zinnober" and agree()


def test_keys_of_words_follow_and_are_compared_and_mended(capsys):
    find = factories.find("Zinnober soda")
    held = WordDeletion.objects.count()
    find.what = "Ochre soda"
    find.save()
    assert search("zinobre").understood.replaced == () and agree()
    find.what = "Zinnober soda"
    find.save()
    assert search("zinobre").understood.replaced[0].word == "zinnober"
    assert WordDeletion.objects.count() == held
    WordDeletion.objects.filter(pk__in=WordDeletion.objects.values("pk")[:9]).delete()
    WordDeletion.objects.create(pk=77 * NUMBERS - 1)
    with pytest.raises(SystemExit):
        call_command("check_derived", all=True)
    said = capsys.readouterr().out
    assert f"word number {NUMBERS - 1} keys" in said
    call_command("check_derived", all=True, mend=True)
    assert agree() and WordDeletion.objects.count() == held


def test_an_index_that_holds_something_else_is_named_and_mended(capsys):
    if not has_fts():
        pytest.skip("no such index on this store")
    find = factories.find("Zinnober soda")
    with connection.cursor() as cursor:
        cursor.execute(
            f"INSERT INTO {TRIGRAMS}({TRIGRAMS}, rowid, text) "
            "SELECT 'delete', id, text FROM specimens_searchentry WHERE id = %s",
            [find.pk],
        )
    assert kinds_with("zinnober") == {}
    with pytest.raises(SystemExit):
        call_command("check_derived", all=True)
    assert "search index" in capsys.readouterr().out
    call_command("check_derived", all=True, mend=True)
    assert kinds_with("zinnober") == {"finds": [str(find)]} and agree()


def test_the_rules_name_columns_and_lookups_that_there_are():
    from django.apps import apps

    for source in ENTRY_SOURCES:
        model = apps.get_model(source.model)
        for column in source.columns.split():
            model._meta.get_field(column)
        KIND_OF[source.kind].model.everything.filter(**{source.lookup: 1}).exists()
    assert Specimen.objects.count() == 0

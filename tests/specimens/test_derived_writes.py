"""Derived columns follow every kind of write, once for each service, and have one writer."""

import ast
import datetime
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.apps import apps
from django.db import transaction

import catalogue
from catalogue.specimens.derived import refresh
from catalogue.specimens.derived.above import columns_above
from catalogue.specimens.derived.refresh import refreshing
from catalogue.specimens.derived.rules import every_source, watched
from catalogue.specimens.derived.writer import STORED
from catalogue.specimens.models import (
    KnownYears,
    MarkReading,
    PhraseChange,
    Specimen,
)
from catalogue.specimens.services import Parts, keep_find
from tests import factories

from .derived_parts import agree, bw_read, found

pytestmark = pytest.mark.django_db


@pytest.fixture
def bw():
    return bw_read()


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
        real = refresh.redate_touched
        monkeypatch.setattr(refresh, "redate_touched", lambda keys: asked.append(set(keys)) or real(keys))
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
            site.save(update_fields=["tidal"])


class TestOneWriter:
    COLUMNS = frozenset({*STORED, *columns_above()}) - {"maker"} | {"path"}
    MAY = ("specimens/derived/", "shelves/models.py", "/migrations/")

    def test_nobody_else_writes_a_derived_column(self):
        """By name: an attribute assigned, a keyword of `update` or `create`, a name in `update_fields`."""
        root = Path(catalogue.__file__).parent
        for path in root.rglob("*.py"):
            where = path.relative_to(root).as_posix()
            if not any(part in where for part in self.MAY):
                found = self.COLUMNS & set(written_names(ast.parse(path.read_text(encoding="utf-8"))))
                assert not found, (where, found)

    def test_the_rules_name_columns_and_lookups_that_there_are(self):
        for source in every_source():
            model = apps.get_model(source.model)
            for column in source.columns.split():
                model._meta.get_field(column)
            for lookup in source.lookups:
                Specimen.everything.filter(**{lookup: 1}).exists()
            assert not source.needs or hasattr(model, source.needs)
        assert {apps.get_model(source.model) for source in every_source()} == set(watched())


def written_names(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Assign | ast.AugAssign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            # a filter object or form may have an attribute of that name: only those of other objects count
            yield from (t.attr for t in targets if isinstance(t, ast.Attribute) and not is_self(t.value))
        elif isinstance(node, ast.Call):
            called = node.func.attr if isinstance(node.func, ast.Attribute) else ""
            for keyword in node.keywords:
                if called in ("update", "create", "bulk_update") and keyword.arg:
                    yield keyword.arg
                if keyword.arg == "update_fields":
                    strings = (n.value for n in ast.walk(keyword.value) if isinstance(n, ast.Constant))
                    yield from (value for value in strings if isinstance(value, str))


def is_self(node: ast.expr) -> bool:
    return isinstance(node, ast.Name) and node.id == "self"

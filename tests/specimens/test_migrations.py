"""A catalogue of an earlier version is opened: rows that a new rule would refuse are mended first."""

import ast
import datetime
from pathlib import Path

import pytest
from django.db import IntegrityError, connection, transaction
from django.db.migrations.executor import MigrationExecutor

import catalogue
from catalogue.access.startup.database import bring_up_to_date
from catalogue.giving.models import Promise
from catalogue.specimens.models import Opinion, Specimen
from tests import factories

DAY = datetime.date(2024, 6, 1)
BEFORE = [
    ("specimens", "0007_spread_of_years"),
    ("giving", "0001_initial"),
    ("sites", "0002_permission_paper_name"),
]


@pytest.fixture
def earlier(transactional_db):
    """The models as they were before pairs had to agree; whatever happens, the tables are put back."""
    executor = MigrationExecutor(connection)
    executor.migrate(BEFORE)
    yield executor.loader.project_state(BEFORE).apps
    bring_up_to_date()


def test_rows_that_break_a_pair_are_mended_and_what_was_typed_stays(earlier):
    def rows(app, name):
        return earlier.get_model(app, name)._base_manager

    ledge = rows("sites", "Site").create(name="Heron Ledge", slug="heron")
    cove = rows("sites", "Site").create(name="Tallow Cove", slug="tallow")
    dive = rows("sites", "Dive").create(site=ledge, date=DAY, year=2024, ordinal=1)
    maker = rows("specimens", "Maker").create(name="Brackwater Bottle Company", slug="bw")
    works = rows("specimens", "Works").create(name="Quay works", maker=maker)

    def find(piece, **given):
        number = {"number_year": 2024, "number_ordinal": 1, "number_piece": piece}
        return rows("specimens", "Specimen").create(
            what="bottle", number=f"2024.1.{piece}", made_with="some tables", **number, **given
        )

    def opinion(of, about, **led_to):
        return rows("specimens", "Opinion").create(find=of, about=about, value="so", on=DAY, **led_to)

    find(1, maker_how="likely", maker_probability=0.9)
    find(2, maker_how="opinion", maker=maker, maker_probability=0.9)
    find(3, maker_how="", maker=maker, maker_probability=0.9)
    find(4, maker_how="likely", maker=maker)
    find(5, maker_how="", maker=maker)
    find(6, maker_how="likely", maker=maker, maker_probability=0.9)
    find(7, dive=dive, site=cove, notes="chipped")
    find(8, dive=dive, site=ledge, notes="whole")
    piece = find(9)
    opinion(piece, "made", maker=maker, works=works, reason="by its seam")
    opinion(piece, "works", works=works)
    anna = rows("people", "Person").create(name="Ansel Quick")
    rows("giving", "Promise").create(find=piece, person=anna, on=DAY, ended="kept")
    rows("giving", "Promise").create(find=piece, person=anna, on=DAY, ended_on=DAY, note="in May")

    bring_up_to_date()

    found = {f.number_piece: f for f in Specimen.everything.select_related("maker", "dive__site")}
    shown = {n: (f.maker and f.maker.name[:2], f.maker_how, f.maker_probability) for n, f in found.items()}
    assert [shown[n] for n in range(1, 7)] == [
        (None, "", None),
        ("Br", "opinion", None),
        ("Br", "likely", 0.9),
        (None, "", None),
        (None, "", None),
        ("Br", "likely", 0.9),
    ]
    # mended ones are dated anew at the start, the sound one is not
    assert [bool(found[n].made_with) for n in range(1, 7)] == [False] * 5 + [True]
    assert [found[n].site for n in (7, 8)] == [None, None]
    assert found[7].notes == "chipped\nSite noted beside the dive: Tallow Cove."
    assert found[8].notes == "whole" and found[7].where_found.name == "Heron Ledge"
    made, at_works = Opinion.objects.order_by("pk")
    assert made.maker is None and made.works is None and at_works.works is not None
    assert made.reason.split("\n") == [
        "by its seam",
        "Maker noted with it: Brackwater Bottle Company.",
        "Works noted with it: Quay works.",
    ]
    kept, still_open = Promise.objects.order_by("pk")
    assert kept.ended_on == datetime.date.today() and still_open.ended_on is None
    assert still_open.note == "in May\nA day of its end was noted: 2024-06-01."


@pytest.mark.django_db
def test_from_then_on_the_store_refuses_them():
    find, dive = factories.find(), factories.dive()
    maker, anna = factories.brackwater(), factories.person()

    def refused(change) -> None:
        with pytest.raises(IntegrityError), transaction.atomic():
            change()

    finds = Specimen.everything.filter(pk=find.pk)
    refused(lambda: finds.update(maker=maker))
    refused(lambda: finds.update(maker_how="likely", maker_probability=0.9))
    refused(lambda: finds.update(maker=maker, maker_how="opinion", maker_probability=0.9))
    refused(lambda: finds.update(dive=dive, site=dive.site))
    refused(lambda: Opinion.objects.create(find=find, about="made", value="1900", maker=maker, on=DAY))
    refused(lambda: Promise.objects.create(find=find, person=anna, on=DAY, ended="kept"))
    refused(lambda: Promise.objects.create(find=find, person=anna, on=DAY, ended_on=DAY))


# A field names its validators and defaults by these; no step runs them.
FIELD_OPTIONS = {
    "catalogue.common.limits",
    "catalogue.common.models",
    "catalogue.photos.models.photo",
}


def test_migration_steps_import_no_live_code():
    """What the program does today may be another thing tomorrow; what a step does stays what it was."""
    found = list(Path(catalogue.__file__).parent.glob("*/migrations/[0-9]*.py"))
    assert len(found) > 20
    for path in found:
        tree = ast.parse(path.read_text(encoding="utf-8"))
        named = set()
        for node in ast.walk(tree):
            if isinstance(node, ast.Import):
                named |= {alias.name for alias in node.names}
            elif isinstance(node, ast.ImportFrom):
                named.add("." * node.level + (node.module or ""))
        ours = {name for name in named if name.startswith(("catalogue", "dating", "."))}
        assert ours <= FIELD_OPTIONS, path
        steps = [ast.unparse(node) for node in tree.body if isinstance(node, ast.FunctionDef)]
        assert not any("catalogue." in step or "dating." in step for step in steps), path

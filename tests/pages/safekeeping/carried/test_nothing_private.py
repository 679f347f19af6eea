"""No private fact leaves with carried pages: each text, number and day of each model is changed to something
that can be told apart, and looked for in every byte that is written.

Fields are walked as the models have them: one that is added tomorrow is private here until it is named below.
"""

import datetime
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.conf import settings
from django.db import DatabaseError, models, transaction
from django.test import override_settings

from catalogue.common.models import HouseSettings
from catalogue.pages.safekeeping.carried.make import make_pages
from catalogue.photos.services import take_in
from catalogue.sites.models import Site
from catalogue.specimens.models import Inscription, Specimen, Town
from tests.access.example_rows import Examples, made_examples
from tests.photos.drawn import GPS, encoded, exif, picture, upload

from .rows import read_back

# What visitors read of a piece that is shown, of what it belongs to, and of the house.
TOLD = {
    "common.housesettings": {"owner_name", "ask_line"},
    "specimens.specimen": {"what", "story", "made_words"},
    "specimens.town": {"name", "region"},
    "specimens.bottler": {"name"},
    "specimens.product": {"name"},
    "specimens.maker": {"name"},
    "specimens.inscription": {"text"},
    "photos.photo": {"caption", "credit", "licence"},
}
# By these a piece is found, dated, drawn or decided to be shown: other values make other pages, or none.
DECIDES = {
    "specimens.specimen": {"number", "made_edtf", "made_decades", "made_spread", "made_ruler", "care_flags"},
    "specimens.markreading": {"symbol"},
    "specimens.searchentry": {"whole", "public"},
    "photos.photo": {"sha256"},
    "photos.laidpair": {"marks"},
    "sites.site": {"show_as"},
}
# A shorter text can't be told from one that stands in any page.
SHORTEST = 7


@pytest.fixture(scope="module")
def made(module_pictures) -> tuple[Examples, Path]:
    return module_pictures(_with_a_picture_that_tells)


def _with_a_picture_that_tells() -> Examples:
    made = made_examples()
    Town.objects.update(latitude=44.9, longitude=-67.9)
    tells = exif(gps=GPS, taken="2024:06:01 09:00:00", make="Zquillon")
    taken = upload(encoded(picture(320, 240, tint=90), exif=tells, comment=b"Zquorrel"), "Zqname.jpg")
    find = Specimen.objects.for_visitors().get()
    take_in(taken, subject=find)
    Inscription.objects.create(find=find, text="QUILL & SONS", where="body")
    HouseSettings.objects.create(owner_name="Ansel")
    return made


@pytest.fixture
def catalogue(made: tuple[Examples, Path], db: None) -> Iterator[None]:
    with override_settings(DATA_DIR=made[1], MEDIA_ROOT=made[1] / "files"):
        yield


def written(folder: Path) -> dict[str, bytes]:
    assert folder != settings.DATA_DIR
    make_pages(folder)
    return read_back(folder)


def fields(*kinds: type[models.Field]) -> list[tuple[str, type[models.Model], models.Field]]:
    """Every column of these kinds of every model of ours, earlier versions of rows among them."""
    return [
        (model._meta.label_lower, model, field)
        for model in apps.get_models()
        if model.__module__.startswith("catalogue.")
        for field in model._meta.concrete_fields
        if isinstance(field, kinds) and not field.primary_key and not field.remote_field
    ]


def is_text(field: models.Field) -> bool:
    return not field.choices and (field.max_length or 999) >= SHORTEST


def fill_texts() -> tuple[dict[str, tuple[str, bool]], list[str]]:
    """A word of its own in every column of text; which stands where, whether it may be told, and columns that
    take no odd word."""
    words: dict[str, tuple[str, bool]] = {}
    refused = []
    for n, (label, model, field) in enumerate(fields(models.CharField, models.TextField, models.JSONField)):
        name = f"{label}.{field.name}"
        if not is_text(field) or field.name in DECIDES.get(label, ()):
            continue
        word = f"zq{n:04d}x"
        value: object = {word: word} if isinstance(field, models.JSONField) else word
        try:
            with transaction.atomic():
                rows = model._base_manager.all()
                if field.unique or any(field.name in c.fields for c in _unique(model)):
                    for key in rows.values_list("pk", flat=True):
                        rows.filter(pk=key).update(**{field.name: _with_key(word, key, field)})
                else:
                    rows.update(**{field.name: value})
        except (DatabaseError, ValueError):
            refused.append(name)
            continue
        words[word] = (name, field.name in TOLD.get(label, ()))
    return words, refused


def _unique(model: type[models.Model]) -> list[models.UniqueConstraint]:
    return [each for each in model._meta.constraints if isinstance(each, models.UniqueConstraint)]


def _with_key(word: str, key: object, field: models.Field) -> str:
    return f"{word}{key}"[: field.max_length or 99]


def test_no_private_word_is_in_any_byte(catalogue, tmp_path):
    words, refused = fill_texts()
    found = written(tmp_path / "pages")
    everything = b"\n".join(name.encode() + b"\n" + content for name, content in found.items())
    there = {name: told for word, (name, told) in words.items() if word.encode() in everything}
    assert {name for name, told in there.items() if not told} == set()
    # What may be told is told: otherwise the search above would find nothing whatever leaves.
    assert set(there) == {f"{label}.{name}" for label, names in TOLD.items() for name in names}
    assert len(words) > 300 and refused == []
    for secret in (b"Zquillon", b"Zquorrel", b"Zqname", b"Exif", b"GPS"):
        assert secret not in everything
    assert str(settings.DATA_DIR).encode() not in everything


NUMBERS = (models.IntegerField, models.FloatField, models.DecimalField, models.DateField, models.TimeField)
# Numbers that visitors read, or that decide what is shown and how.
NUMBERS_TOLD = {
    "specimens.specimen": {
        *("height_mm", "diameter_mm", "base_mm", "bore_mm", "mass_g", "capacity_ml", "maker_probability"),
        *("made_from", "made_to", "made_best", "made_first", "made_last"),
        *("number_year", "number_ordinal", "number_piece", "binned_at"),
    },
    "photos.photo": {"width", "height", "order", "binned_at", "changed", "created", "bytes"},
}
# What is in the bin is private another way: nothing of it is shown.
BIN = "binned_at"


def other_value(field: models.Field, value: Any) -> Any:
    """Another value of the same kind; a first one where there is none."""
    if isinstance(field, models.DateTimeField):
        return (
            value - datetime.timedelta(days=401)
            if value
            else datetime.datetime(2001, 2, 3, tzinfo=datetime.UTC)
        )
    if isinstance(field, models.DateField):
        return value - datetime.timedelta(days=401) if value else datetime.date(2001, 2, 3)
    if isinstance(field, models.TimeField):
        return datetime.time(4, 5) if value != datetime.time(4, 5) else datetime.time(6, 7)
    return 3 if value is None else value + type(value)(3)


def change_numbers() -> tuple[int, list[str]]:
    """Another value in every private number and day; how many columns, and which take none."""
    count, refused = 0, []
    for label, model, field in fields(*NUMBERS):
        if field.name in NUMBERS_TOLD.get(label, ()) or field.name == BIN or field.choices:
            continue
        try:
            with transaction.atomic():
                for key, value in model._base_manager.values_list("pk", field.name):
                    model._base_manager.filter(pk=key).update(**{field.name: other_value(field, value)})
            count += 1
        except DatabaseError:
            refused.append(f"{label}.{field.name}")
    return count, refused


def test_no_private_number_or_day_changes_a_byte(catalogue, tmp_path):
    """Non-interference: whatever the private numbers are, the same pages are written."""
    change_numbers()
    before = written(tmp_path / "before")
    # Where a site is shown as a rounded position it is moved further below: here every one is hidden.
    assert Site.objects.count() and set(Site.objects.values_list("show_as", flat=True)) == {"hidden"}
    count, refused = change_numbers()
    after = written(tmp_path / "after")
    assert [name for name in before if before[name] != after.get(name)] == []
    assert before.keys() == after.keys()
    # A constraint joins these to another column: an end without a beginning, one side of a vessel alone.
    assert count > 400 and len(refused) < 15, (count, refused)


def test_a_number_that_visitors_read_would_change_them(catalogue, tmp_path):
    before = written(tmp_path / "before")
    Specimen.objects.for_visitors().update(height_mm=123)
    assert before != written(tmp_path / "after")


WITHIN_ONE_CELL = [(44.51, -67.28), (44.5000001, -67.2999999), (44.599, -67.201)]


@pytest.mark.parametrize(
    ("show_as", "places"),
    [
        ("hidden", [*WITHIN_ONE_CELL, (-12.3, 130.9)]),
        ("rounded", WITHIN_ONE_CELL),
        ("exact", WITHIN_ONE_CELL),
    ],
)
def test_where_a_site_lies_changes_no_byte_within_what_its_setting_hides(
    catalogue, tmp_path, show_as, places
):
    told = []
    for n, (latitude, longitude) in enumerate(places):
        Site.objects.update(show_as=show_as, latitude=latitude, longitude=longitude)
        told.append(written(tmp_path / str(n)))
    assert all(each == told[0] for each in told)
    if show_as == "rounded":
        Site.objects.update(latitude=44.61)
        assert written(tmp_path / "moved") != told[0]


def test_a_hidden_site_named_in_a_story_takes_the_words_along(catalogue, tmp_path):
    site = Site.objects.get()
    Site.objects.update(name="Whelkholm")
    Specimen.objects.for_visitors().update(story="Lifted at Whelkholm.", what="Jar of Whelkholm")
    everything = b"".join(written(tmp_path / "pages").values())
    assert b"Whelkholm" not in everything and b"Lifted" not in everything
    assert json.dumps("Whelkholm").encode() not in everything and site.pk

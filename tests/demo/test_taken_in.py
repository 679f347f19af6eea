"""What the catalogue writes out comes in again: the whole demo, in each format, changes nothing."""

import pytest
from django.utils import timezone

from catalogue.exchange.takein.answers import SheetAnswers
from catalogue.exchange.takein.judge_sheet import counts_of, judge_sheet
from catalogue.exchange.takein.matching import guess_columns
from catalogue.exchange.takein.read_any import read_sheet
from catalogue.exchange.takeout.formats import OPEN_FORMATS, taken_out
from catalogue.exchange.takeout.rows import keys_of
from catalogue.specimens.models import Specimen


@pytest.mark.django_db
@pytest.mark.parametrize("key", ["csv", "xlsx", "ods"])
def test_what_went_out_comes_in_without_a_change(filled, key: str) -> None:
    keys = keys_of(Specimen.objects.all(), public=False)
    file = b"".join(taken_out(keys, OPEN_FORMATS[key], public=False))
    sheet = read_sheet(f"finds.{key}", file)
    columns = {each.index: each.key for each in guess_columns(sheet)}
    verdicts = judge_sheet(sheet, columns, SheetAnswers(), timezone.localdate())
    told = [(v.number, v.changes, v.said.problems) for v in verdicts if v.kind != "same"]
    assert told == []
    assert counts_of(verdicts)["same"] == len(keys) == len(sheet.rows) > 50

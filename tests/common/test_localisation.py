"""Days and times as whoever reads them writes them at home."""

import ast
import re
from datetime import UTC, date, datetime, time
from pathlib import Path

import pytest
from django.http import HttpResponse
from django.test import RequestFactory

from catalogue.common.localisation import (
    ViewerDates,
    clock,
    clock_to_the_second,
    day,
    day_of_year,
    moment,
    moment_of_year,
    weekday,
)

ROOT = Path(__file__).resolve().parents[2]
TEMPLATES = ROOT / "templates"
DAY, AT = date(2026, 11, 2), datetime(2026, 11, 2, 14, 5, tzinfo=UTC)


def told(accept: str | None) -> HttpResponse:
    def view(request):
        return HttpResponse("|".join((day(DAY), day_of_year(DAY), clock(time(14, 5)))))

    headers = {} if accept is None else {"Accept-Language": accept}
    return ViewerDates(view)(RequestFactory().get("/", headers=headers))


@pytest.mark.parametrize(
    ("accept", "words"),
    [
        (None, "2 Nov 2026|2 Nov|14:05"),
        ("en-GB,en;q=0.9", "2 Nov 2026|2 Nov|14:05"),
        ("en-US,en;q=0.9", "Nov 2, 2026|Nov 2|2:05 PM"),
        ("de-DE,de;q=0.9,en;q=0.5", "02.11.2026|02.11.2026|14:05"),
        ("sv", "2026-11-02|2026-11-02|14:05"),
        ("xx-XX,fr;q=0.5", "02/11/2026|02/11/2026|14:05"),
        ("../../etc,*;q=0", "2 Nov 2026|2 Nov|14:05"),
        ("x" * 5000, "2 Nov 2026|2 Nov|14:05"),
    ],
)
def test_a_day_is_written_as_its_reader_writes_it(accept: str | None, words: str) -> None:
    answer = told(accept)
    assert answer.content.decode() == words
    assert "Accept-Language" in answer["Vary"]


def test_one_reader_leaves_nothing_to_the_next() -> None:
    told("en-US")
    assert day(DAY) == "2 Nov 2026"


def test_a_moment_is_told_by_the_clock_of_this_place(settings) -> None:
    settings.TIME_ZONE = "Europe/Stockholm"
    assert (moment(AT), moment_of_year(AT)) == ("2 Nov 2026, 15:05", "2 Nov, 15:05")
    assert [each(None) for each in (day, day_of_year, clock, moment, moment_of_year)] == [""] * 5


@pytest.mark.parametrize(
    ("accept", "words"),
    [
        ("en-GB", "Monday, 2 Nov 2026|14:05:09"),
        ("en-US", "Monday, Nov 2, 2026|2:05:09 PM"),
        ("de", "Monday, 02.11.2026|14:05:09"),
    ],
)
def test_a_weekday_and_seconds_follow_the_reader_too(accept: str, words: str) -> None:
    def view(request):
        return HttpResponse(f"{weekday(DAY)}|{clock_to_the_second(time(14, 5, 9))}")

    asked = RequestFactory().get("/", headers={"Accept-Language": accept})
    assert ViewerDates(view)(asked).content.decode() == words


def test_no_template_writes_a_date_in_a_way_of_its_own() -> None:
    own = re.compile(r"\|date(?!:['\"](?:c|Y-m-d|Y)['\"])")
    assert [str(p) for p in TEMPLATES.rglob("*.html") if own.search(p.read_text(encoding="utf-8"))] == []


PYTHON = ROOT / "catalogue"
# Days that no screen shows: names of files, what machines read, keys and stored words.
NOT_SHOWN = {
    "photos/services/shelf.py": "stored with the picture as where it came from, whoever reads it later",
    "pages/finds/story/views.py": "the month alone, in a story that is stored",
    "common/forms/fields.py": "what a field of the browser takes",
    "sites/forms.py": "what a field of the browser takes",
    "exchange/backup/archive.py": "the name of a folder",
    "exchange/backup/days.py": "the name of a folder",
    "access/startup/last_backup.py": "a file beside the database, which a start reads on a terminal",
    "exchange/backup/tags.py": "a tag file's date, as its standard has it",
    "exchange/verify.py": "a line on a terminal, whose reader is not known",
    "care/forms/treatment.py": "what a field of the browser takes",
}


def writes_dates_itself(path: Path) -> list[str]:
    """Format letters of a date in what a file builds, but for what `__str__` tells the administration."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    told = {
        inner
        for each in ast.walk(tree)
        if isinstance(each, ast.FunctionDef) and each.name == "__str__"
        for inner in ast.walk(each)
    }
    found = []
    for each in set(ast.walk(tree)) - told:
        if isinstance(each, ast.Constant) and re.search(r"%[YHbB]", str(each.value)):
            found.append(str(each.value))
        if isinstance(each, ast.Name) and each.id in ("date_format", "time_format"):
            found.append(each.id)
    return found


def test_python_writes_no_date_in_a_way_of_its_own() -> None:
    own = {}
    for path in PYTHON.rglob("*.py"):
        inside = path.relative_to(PYTHON).as_posix()
        if "migrations" in path.parts or inside == "common/localisation.py" or inside in NOT_SHOWN:
            continue
        if found := writes_dates_itself(path):
            own[inside] = found
    assert own == {}
    assert all(writes_dates_itself(PYTHON / inside) for inside in NOT_SHOWN)

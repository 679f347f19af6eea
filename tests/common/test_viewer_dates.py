"""Days and times as whoever reads them writes them at home."""

import re
from datetime import UTC, date, datetime, time
from pathlib import Path

import pytest
from django.http import HttpResponse
from django.test import RequestFactory

from catalogue.common.templatetags.viewer_dates import clock, day, day_of_year, moment, moment_of_year
from catalogue.common.viewer_dates import ViewerDates

TEMPLATES = Path(__file__).resolve().parents[2] / "templates"
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


def test_no_template_writes_a_date_in_a_way_of_its_own() -> None:
    own = re.compile(r"\|date(?!:['\"](?:c|Y-m-d|Y|H:i:s|l j F Y)['\"])")
    assert [str(p) for p in TEMPLATES.rglob("*.html") if own.search(p.read_text(encoding="utf-8"))] == []

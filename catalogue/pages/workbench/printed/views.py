"""The sheet for the wall, and the treatment record of a piece."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from catalogue.care.queries.bath_page import bath_page
from catalogue.pages.parts.find_lookup import plain_find
from catalogue.pages.workbench.bath_planning import get_bath
from catalogue.pages.workbench.printed.record import record_sheet

from .record import record_of
from .sheet import sheet_of
from .sheet_pdf import bath_sheet_pdf


@require_safe
def bath_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """One page to hang by the bath: lines, steps, times, cautions, every piece with boxes to tick."""
    made = bath_sheet_pdf(sheet_of(bath_page(get_bath(pk))), size=paper(request))
    return pdf(made, f"bath-{pk}.pdf")


@require_safe
def record(request: HttpRequest, number: str) -> HttpResponse:
    """Everything done to a piece, by whom and with what, on one page."""
    return render(request, "pages/workbench/printed/record.html", {"record": record_of(plain_find(number))})


@require_safe
def record_pdf(request: HttpRequest, number: str) -> HttpResponse:
    """The same as a file to take along."""
    made = record_sheet(record_of(plain_find(number)), size=paper(request))
    return pdf(made, f"treatment-{number}.pdf")


def paper(request: HttpRequest) -> str:
    """A4 unless the address says Letter."""
    return "Letter" if request.GET.get("size") == "Letter" else "A4"


def pdf(made: bytes, name: str) -> HttpResponse:
    answer = HttpResponse(made, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{name}"'
    return answer

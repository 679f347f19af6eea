"""Label sheets: choose pieces, choose the sheet, print at full size."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from catalogue.labels.label_text import KINDS, address_for_labels, label_of
from catalogue.labels.sheet_pdf import LabelError, code_trouble, label_sheet, test_page
from catalogue.labels.sheets import SheetError, sheet
from catalogue.specimens.models import Specimen
from catalogue.specimens.numbers import read_number

from .forms import SheetForm

MOST = 2000


@require_http_methods(["GET", "HEAD", "POST"])
def labels(request: HttpRequest) -> HttpResponse:
    """Choose a sheet for the finds named in the address, or typed; post makes the PDF."""
    if request.method == "POST":
        return _print(request)
    numbers = _numbers(request.GET.getlist("find"))
    return _page(request, SheetForm(initial=_last_used(request)), numbers)


def _print(request: HttpRequest) -> HttpResponse:
    numbers = _numbers(
        request.POST.getlist("find") + request.POST.get("numbers", "").replace(",", " ").split()
    )
    form = SheetForm(request.POST)
    trial = "test" in request.POST
    if not form.is_valid():
        return _page(request, form, numbers, status=422)
    chosen = form.cleaned_data
    request.session["sheet"] = {k: chosen[k] for k in ("sheet", "kind", "right_mm", "down_mm")}
    offset = (chosen["right_mm"], chosen["down_mm"])
    try:
        if trial:
            return _pdf(test_page(sheet(chosen["sheet"]), offset_mm=offset), "test-page")
        finds = _found(numbers)
        missing = [n for n in numbers if n not in {f.number for f in finds}]
        if missing or not finds:
            said = ", ".join(missing[:8])
            form.add_error(None, f"No find has the number {said}." if said else "Choose at least one piece.")
            return _page(request, form, numbers, status=422)
        base = address_for_labels(request)
        texts = [label_of(find, base) for find in finds]
        trouble = code_trouble(texts, sheet(chosen["sheet"]), KINDS[chosen["kind"]])
        if trouble and "anyway" not in request.POST:
            form.add_error(None, trouble)
            return _page(request, form, numbers, status=422, trouble=True)
        pdf = label_sheet(
            texts,
            sheet(chosen["sheet"]),
            start_at=chosen["start_at"],
            offset_mm=offset,
            outlines=chosen["outlines"],
            kind=KINDS[chosen["kind"]],
        )
    except (LabelError, SheetError) as error:
        form.add_error(None, str(error))
        return _page(request, form, numbers, status=422)
    return _pdf(pdf, "labels")


def _page(
    request: HttpRequest, form: SheetForm, numbers: list[str], status: int = 200, *, trouble: bool = False
) -> HttpResponse:
    finds = _found(numbers)
    known = {find.number for find in finds}
    typed = " ".join(number for number in numbers if number not in known)
    context = {"form": form, "finds": finds, "typed": typed, "trouble": trouble}
    return render(request, "pages/labels/labels.html", context, status=status)


def _numbers(words: list[str]) -> list[str]:
    """The numbers named, each once, in their order; what is no number stays as typed, to be said."""
    named = [str(read_number(word) or word) for word in words if word.strip()]
    return list(dict.fromkeys(named))[:MOST]


def _found(numbers: list[str]) -> list[Specimen]:
    found = {f.number: f for f in Specimen.objects.filter(number__in=numbers).select_related("town", "maker")}
    return [found[number] for number in numbers if number in found]


def _last_used(request: HttpRequest) -> dict:
    return request.session.get("sheet", {"sheet": "a4-21", "kind": "shelf"})


def _pdf(content: bytes, name: str) -> HttpResponse:
    return HttpResponse(
        content,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}.pdf"', "Cache-Control": "no-store"},
    )

"""Label sheets printed at full size, field tags for the next dive, and the slip that goes with a piece."""

import json
from collections.abc import Sequence
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from catalogue.care.piece_facts import knowledge_of
from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.models import HouseSettings
from catalogue.common.viewer_dates import day_words
from catalogue.giving.services import open_handover
from catalogue.giving.slip import slip_words
from catalogue.labels.code_address import code_choices, remember_code, usual_code
from catalogue.labels.label_text import LABEL_KINDS, LabelText, label_of
from catalogue.labels.models import TagRun
from catalogue.labels.sheet_pdf import (
    LabelError,
    code_trouble,
    label_sheet,
    letters_trouble,
    test_page,
)
from catalogue.labels.sheets import SheetError, sheet
from catalogue.labels.slip import SLIP_PAGES, SlipText, slip
from catalogue.labels.tag_numbers import TagsUsedUp, give_tags, next_number, usual_letters
from catalogue.labels.tags import TAG_SHEETS, tag_sheet
from catalogue.pages.labels.forms import SheetForm, TagForm
from catalogue.pages.parts.find_lookup import plain_find
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.sites.queries import sites_with_dangers
from catalogue.specimens.derived.batches import BATCH
from catalogue.specimens.models import BatchAct, Specimen
from catalogue.specimens.named_finds import NamedFinds, finds_named
from catalogue.specimens.number_list import as_ranges

# From so many on, pieces stand in the box as ranges, not each with a tick of its own.
TICKED_ONE_BY_ONE = 60


@GET_OR_POST
def labels(request: HttpRequest) -> HttpResponse:
    """Choose a sheet for the finds named in the address, or typed; post makes the PDF."""
    if request.method == "POST":
        return _print(request)
    named = finds_named(request.GET.get("numbers", "") or _chosen(request), also=request.GET.getlist("find"))
    wrong = named.complaints() if request.GET else []
    house = HouseSettings.current()
    last = _last_used(request) | {"code": usual_code(house, request)}
    form = SheetForm(initial=last, codes=code_choices(house, request))
    return _page(request, form, named, wrong=wrong)


def _print(request: HttpRequest) -> HttpResponse:
    named = finds_named(request.POST.get("numbers", ""), also=request.POST.getlist("find"))
    house = HouseSettings.current()
    form = SheetForm(request.POST, codes=code_choices(house, request))
    trial = "test" in request.POST
    if not form.is_valid():
        return _page(request, form, named, status=422)
    chosen = form.cleaned_data
    request.session["sheet"] = {k: chosen[k] for k in ("sheet", "kind", "right_mm", "down_mm")}
    offset = (chosen["right_mm"], chosen["down_mm"])
    try:
        if trial:
            return _pdf(test_page(sheet(chosen["sheet"]), offset_mm=offset), "test-page")
        wrong = named.too_many or "without" not in request.POST and named.complaints()
        if wrong or not named.keys:
            said = named.complaints() or ["Choose at least one piece."]
            return _page(request, form, named, status=422, wrong=said)
        base = chosen["base"] or usual_code(house, request)
        texts = _texts(base, list(named.keys.values()))
        kind = LABEL_KINDS[chosen["kind"]]
        troubles = [code_trouble(texts, sheet(chosen["sheet"]), kind), letters_trouble(texts, kind)]
        if any(troubles) and "anyway" not in request.POST:
            for trouble in filter(None, troubles):
                form.add_error(None, trouble)
            return _page(request, form, named, status=422, trouble=True)
        pdf = label_sheet(
            texts,
            sheet(chosen["sheet"]),
            start_at=chosen["start_at"],
            offset_mm=offset,
            outlines=chosen["outlines"],
            kind=kind,
        )
    except (LabelError, SheetError) as error:
        form.add_error(None, str(error))
        return _page(request, form, named, status=422)
    if kind.has_code:
        remember_code(house, base)
    return _pdf(pdf, "labels")


def _chosen(request: HttpRequest) -> str:
    """The numbers of finds that were chosen together in a list, in the order of choice."""
    asked = request.GET.get("of", "")
    known = asked.isascii() and asked.isdigit() and len(asked) < 19
    batch = BatchAct.objects.filter(pk=int(asked)).first() if known else None
    keys = batch.finds if batch else []
    numbers: dict[int, str] = {}
    for start in range(0, len(keys), BATCH):
        part = Specimen.everything.filter(pk__in=keys[start : start + BATCH])
        numbers |= dict(part.order_by().values_list("pk", "number"))
    return as_ranges(numbers[key] for key in keys if key in numbers)


def _texts(base: str, keys: list[int]) -> list[LabelText]:
    """What stands on each label, in the order of the keys. Seven queries for each five hundred."""
    texts: list[LabelText] = []
    for start in range(0, len(keys), BATCH):
        part = keys[start : start + BATCH]
        finds = Specimen.objects.select_related("town", "maker").in_bulk(part)
        known = knowledge_of(finds.values())
        texts += [
            label_of(finds[key], base, hazards=[gate.name for gate in known[key].hazards]) for key in part
        ]
    return texts


def _page(
    request: HttpRequest,
    form: SheetForm,
    named: NamedFinds,
    status: int = 200,
    *,
    trouble: bool = False,
    wrong: Sequence[str] = (),
) -> HttpResponse:
    """The form again, with every number as it was typed where one of them is wrong."""
    few = len(named.keys) <= TICKED_ONE_BY_ONE and not wrong
    finds = list(Specimen.objects.filter(pk__in=named.keys.values())) if few else []
    place = {key: n for n, key in enumerate(named.keys.values())}
    sent = request.POST if request.method == "POST" else request.GET
    typed = " ".join([*sent.getlist("find"), sent.get("numbers", "") or _chosen(request)]).strip()
    context = {
        "form": form,
        "finds": sorted(finds, key=lambda find: place[find.pk]),
        "typed": "" if finds else typed if wrong else as_ranges(named.keys),
        "wrong": wrong,
        "may_leave_out": bool(wrong and named.keys),
        "count": len(named.keys),
        "trouble": trouble,
    }
    return render(request, "pages/labels/labels.html", context, status=status)


def _last_used(request: HttpRequest) -> dict[str, Any]:
    used: dict[str, Any] = request.session.get("sheet", {"sheet": "a4-21", "kind": "shelf"})
    return used


def _pdf(content: bytes, name: str) -> HttpResponse:
    return HttpResponse(
        content,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}.pdf"', "Cache-Control": "no-store"},
    )


RUNS_SHOWN = 12


@never_cache
@GET_OR_POST
@kept_once
def tags(request: HttpRequest) -> HttpResponse:
    """Print the next sheets. The numbers are given first; the sheet then has an address of its own.

    Never out of a browser's memory: its key would bring the sheets printed before, not the next ones.
    """
    letters = usual_letters()
    form = TagForm(
        request.POST or None, initial={"letters": letters, "page": request.session.get("tag_page")}
    )
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            chosen = form.cleaned_data
            request.session["tag_page"] = chosen["page"]
            count = chosen["sheets"] * TAG_SHEETS[chosen["page"]].per_page
            try:
                return redirect("labels:tag_run", give_tags(chosen["letters"], count, chosen["page"]).pk)
            except TagsUsedUp as why:
                form.add_error("letters", str(why))
    page = {
        "form": form,
        "next": f"{letters}-{next_number(letters)}",
        "runs": TagRun.objects.all()[:RUNS_SHOWN],
        "dangerous": sites_with_dangers(),
    }
    return render(request, "pages/labels/tags.html", page, status=status)


@require_safe
def tag_run(request: HttpRequest, pk: int) -> HttpResponse:
    """The sheets of one run; the same each time, so that a spoiled print can be made again."""
    run = get_object_or_404(TagRun, pk=pk)
    return HttpResponse(
        tag_sheet(run.tags, run.page),
        content_type="application/pdf",
        headers={
            "Content-Disposition": f'inline; filename="tags-{run.letters}-{run.first}-{run.last}.pdf"',
            "Cache-Control": "no-store",
        },
    )


@require_safe
def slip_pdf(request: HttpRequest, number: str) -> HttpResponse:
    """The slip as PDF: as it was when the piece left, else as it would be today. `?size=A6`: a small one."""
    find = plain_find(number)
    given = open_handover(find)
    words = json.loads(given.slip) if given and given.slip else slip_words(find)
    if given:
        on = day_words(given.on)
        named = given.person and not given.person.erased_at
        words["handed_over"] = f"to {given.person}, {on}" if named else on
    size = request.GET.get("size", "A5")
    made = slip(SlipText(**words), size=size if size in SLIP_PAGES else "A5")
    answer = HttpResponse(made, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="slip-{find.number}.pdf"'
    return answer

"""One piece at the bench: what may be done to it, its cleaning, its checklist, which one it is."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from catalogue.care.care_tables import care_tables
from catalogue.care.models import Tool, ToolUse, Treatment
from catalogue.care.piece_facts import know
from catalogue.care.queries.bath_page import gates_to_look_for
from catalogue.care.queries.likeness import tools_for
from catalogue.care.services import (
    Hazard,
    NotThisTool,
    begin_step,
    finish_cleaning,
    finish_step,
    note_look,
    undo_tool_use,
    use_tool,
)
from catalogue.care.services.treatments import growth_steps, open_cleaning
from catalogue.common.forms.idempotency_key import keep_once, kept_once
from catalogue.pages.parts.hazards import asks_reason, reason_given
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.next_address import next_address
from catalogue.pages.parts.typed_text import short_note, text_typed
from catalogue.pages.parts.undo import saying_why_not
from catalogue.pages.templatetags.bench import advice_for
from catalogue.pages.workbench.conditions import get_find
from catalogue.photos.models import Photo
from catalogue.photos.services.uploads import Picked, gather
from catalogue.specimens.models import Specimen


@require_safe
def piece(request: HttpRequest, number: str) -> HttpResponse:
    """Everything the bench can do for a piece."""
    find = get_find(number)
    known = know(find)
    context = {
        "find": find,
        "known": known,
        **advice_for(known),
        "gates": gates_to_look_for(),
        "cover": Photo.objects.covers_of([find.pk]).get(find.pk),
        "in_bath": find.bath_members.filter(in_at__isnull=False, out_at=None).select_related("bath").first(),
        "in_soak": find.soak_members.filter(out_at=None).select_related("soak").first(),
        "stages": Specimen.Stage,
        "looks": Specimen.Look,
    }
    return render(request, "pages/workbench/piece.html", context)


@require_POST
@kept_once
def look(request: HttpRequest, number: str) -> HttpResponse:
    """Somebody looked for what would forbid acid: nothing there, or what was ticked."""
    find = get_find(number)
    # What is ticked counts in either case: what is known already stands ticked.
    found = request.POST.getlist("found")
    added: set[str] = set()
    if "shown" in request.POST:
        # Only what was changed here: what another page ticked or cleared meanwhile stays as it is.
        was, now = set(request.POST.getlist("was-found")), know(find).to_tick
        added = set(now - was - set(found))
        found = sorted((now - (was - set(found))) | (set(found) - was))
    if not found and not request.POST.get("nothing"):
        messages.warning(request, "Tick what is there, or say that nothing is.")
        return redirect(next_address(request, reverse("workbench:piece", args=[number])))
    try:
        note_look(find, found, text_typed(request, "note", "Note"))
    except ValueError:
        return HttpResponseBadRequest("That is nothing to look for.")
    messages.success(request, f"{find.number}: the look is recorded.")
    if added:
        names = ", ".join(care_tables().gates[key].name for key in sorted(added))
        messages.warning(request, f"Another page ticked meanwhile, and that stays: {names}.")
    return redirect(next_address(request, reverse("workbench:piece", args=[number])))


@require_POST
def aim(request: HttpRequest, number: str) -> HttpResponse:
    """Say which look is aimed at."""
    find = get_find(number)
    if request.POST.get("look") not in Specimen.Look.values:
        return HttpResponseBadRequest("Keep some growth, or near new.")
    find.look = request.POST["look"]
    find.save(update_fields=["look"])
    return redirect(next_address(request, reverse("workbench:piece", args=[number])))


@require_safe
def clean(request: HttpRequest, number: str) -> HttpResponse:
    """The kit for this piece, softest first; each tool two taps from the bench."""
    find = get_find(number)
    known = know(find)
    going = open_cleaning(find)
    context = {
        "find": find,
        "known": known,
        "kit": []
        if known.leave_alone
        else tools_for(find, decorated=known.decorated, keeps_off=known.keeps_off),
        "going": going,
        "uses": list(going.tool_uses.select_related("tool")) if going else [],
        "results": Treatment.Result,
        "worked": ToolUse.Worked,
        "cover": Photo.objects.covers_of([find.pk]).get(find.pk),
    }
    return render(request, "pages/workbench/clean.html", context)


@require_POST
@asks_reason
@kept_once
def use(request: HttpRequest, number: str) -> HttpResponse:
    """One go with one tool: `worked` holds the tool and how it went, "7-yes"."""
    find = get_find(number)
    pk, _, worked = request.POST.get("worked", "").partition("-")
    if worked not in ToolUse.Worked.values or not pk.isdecimal():
        return HttpResponseBadRequest("Say which tool, and how it went.")
    tool = get_object_or_404(Tool, pk=int(pk))
    with saying_why_not(request, NotThisTool, Hazard, level=messages.WARNING):
        use_tool(find, tool, worked, reason=reason_given(request))
        messages.success(request, f"{tool.name}: {ToolUse.Worked(worked).label}.")
    return redirect("workbench:clean", number)


@require_POST
@kept_once
def undo(request: HttpRequest, number: str, pk: int) -> HttpResponse:
    """Take a wrong tap back."""
    undo_tool_use(get_object_or_404(ToolUse.objects.select_related("treatment"), pk=pk, find__number=number))
    return redirect("workbench:clean", number)


@require_POST
@kept_once
def finish(request: HttpRequest, number: str) -> HttpResponse:
    """The detailed cleaning is done, or stops here."""
    find = get_find(number)
    result = request.POST.get("result", "")
    if result not in Treatment.Result.values:
        return HttpResponseBadRequest("Say how it came out.")
    stage = "drying" if result == Treatment.Result.CLEAN else ""
    if finish_cleaning(find, result, stage=stage) is None:
        messages.warning(request, "No cleaning was going on.")
        return redirect("workbench:clean", number)
    messages.success(request, f"{find.number}: recorded.")
    return redirect("workbench:piece", number)


@GET_OR_POST
@asks_reason
def growth_kept(request: HttpRequest, number: str) -> HttpResponse:
    """The checklist of a piece that keeps its growth: each step begun, then done, with its pictures."""
    find = get_find(number)
    if request.method == "POST":
        key = request.POST.get("step", "")
        if key not in growth_steps():
            return HttpResponseBadRequest("That is no step.")
        picked = gather(request, role="during")
        return keep_once(request, lambda: _keep_step(request, find, key, picked))
    begun = {work.step: work for work in find.work_steps.prefetch_related("photos")}
    context = {
        "find": find,
        "known": know(find),
        "steps": [(step, begun.get(key)) for key, step in growth_steps().items()],
    }
    return render(request, "pages/workbench/growth_kept.html", context)


def _keep_step(request: HttpRequest, find: Specimen, key: str, picked: Picked) -> HttpResponse:
    try:
        begin_step(find, key, reason=reason_given(request))
    except Hazard as error:
        messages.warning(request, str(error))
        return redirect(request.path)
    if request.POST.get("act") == "begin":
        return redirect(f"{request.path}#{key}")
    photos = picked.file_under(find).taken
    for failed in picked.failed:
        messages.warning(request, str(failed))
    note = short_note(request)
    work, new = finish_step(find, key, note=note, photos=photos)
    if not new and note.strip() and note != work.note:
        messages.warning(
            request, f"This step was ticked off meanwhile, and its note stays. Yours was “{note}”."
        )
    return redirect(f"{request.path}#{key}")

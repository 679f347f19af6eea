"""Many finds at once: choose them, look at what an act changes, do it, undo it."""

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from catalogue.care.services import Hazard, HazardAsksReason, SoakRefused
from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.next_address import next_address
from catalogue.pages.parts.suggest import known_names
from catalogue.pages.parts.undo import say_with_undo, saying_why_not
from catalogue.specimens.batch.judging import latest_entry
from catalogue.specimens.batch.perform import BatchDone, NotAllOfThem, perform, some_numbers
from catalogue.specimens.batch.progress import progress_of
from catalogue.specimens.batch.undoing import BatchUndone, NotUndone, undo
from catalogue.specimens.models import BatchAct, Specimen

from .chosen import ChosenFinds, chosen_by, keep_chosen
from .menu import LABELS, MENU, MenuAct
from .preview import ActPreview, answers_given, preview_of, shown

LAST_SHOWN = 20
YEARS_FOLLOW = "Their years are being worked out beside the pages; until then each piece says so."


@never_cache
@GET_OR_POST
@kept_once
def choose(request: HttpRequest) -> HttpResponse:
    """Type, paste or scan numbers; post keeps what was ticked or typed, and goes on to the act."""
    if request.method != "POST":
        return _choosing(request)
    chosen = chosen_by(request)
    if chosen.final or chosen.wrong and "without" not in request.POST or not chosen.keys:
        return _choosing(request, chosen)
    batch = keep_chosen(request, chosen.keys)
    act = request.POST.get("act", "")
    if act == LABELS:
        return redirect(f"{reverse('labels:labels')}?of={batch.pk}")
    address = reverse("finds:many_act", args=[batch.pk])
    return redirect(f"{address}?act={act}" if act in MENU else address)


def _choosing(request: HttpRequest, chosen: ChosenFinds | None = None) -> HttpResponse:
    sent = request.POST
    context = {
        "typed": " ".join([*sent.getlist("find"), sent.get("numbers", "")]).strip(),
        "wrong": chosen.wrong if chosen else [],
        "may_leave_out": bool(chosen and chosen.keys and not chosen.final),
        "count": len(chosen.keys) if chosen else 0,
        "back": next_address(request, ""),
        "sent": [(name, sent[name]) for name in ("act", "choice", "to") if name in sent],
        "last": BatchAct.objects.exclude(done_at=None)[:LAST_SHOWN],
    }
    return render(request, "pages/finds/many/choose.html", context, status=422 if chosen else 200)


@never_cache
@GET_OR_POST
@kept_once
def act(request: HttpRequest, pk: int) -> HttpResponse:
    """What an act would change; post does it, with all of them or with those that may."""
    batch = get_object_or_404(BatchAct, pk=pk)
    if batch.done_at and request.method == "POST":
        messages.info(request, f"That was done already, and nothing was done twice. {batch.words}")
        return redirect("finds:many_act", pk)
    sent = request.POST if request.method == "POST" else request.GET
    menu = MENU.get(sent.get("act", ""))
    if menu is None or batch.done_at:
        return _page(request, batch, None, None)
    asked = request.method == "POST" or "look" in sent or not menu.asks
    form = menu.form(sent if asked else None)
    if not asked or not form.is_valid():
        return _page(request, batch, menu, form, status=422 if asked else 200)
    if request.method == "POST":
        return _do(request, batch, menu, form)
    return _page(request, batch, menu, form, preview_of(request, batch, menu, form))


def _do(request: HttpRequest, batch: BatchAct, menu: MenuAct, form: forms.Form) -> HttpResponse:
    seen = request.POST.get("seen", "")
    known = seen.isascii() and seen.isdigit() and len(seen) < 19
    made = menu.make(form, True)
    try:
        done = perform(
            batch,
            made,
            only_good=request.POST.get("how") == "good",
            answers=answers_given(request),
            seen=int(seen) if known else None,
        )
    except NotAllOfThem as why:
        form.add_error(None, str(why))
        preview = shown(why.judged, made.target, tried=True)
        return _page(request, batch, menu, form, preview, status=422)
    except (Hazard, HazardAsksReason, SoakRefused) as why:
        form.add_error(None, f"Nothing was done. {why}")
        return _page(request, batch, menu, form, preview_of(request, batch, menu, form), status=422)
    say_with_undo(request, _told(done), reverse("finds:many_undo", args=[batch.pk]))
    return redirect(batch.back or reverse("finds:many_act", args=[batch.pk]))


def _told(done: BatchDone) -> str:
    """What was done, how many were so already, and which stayed as they were."""
    left = [*done.judged.refused, *done.judged.waiting]
    words = [done.words]
    if same := len(done.judged.same):
        words.append(f"{same:,} {'was' if same == 1 else 'were'} so already.")
    if left:
        stay = "1 stays as it is" if len(left) == 1 else f"{len(left):,} stay as they are"
        words.append(f"{stay}: {some_numbers(left)}.")
    if done.years_follow:
        words.append(YEARS_FOLLOW)
    return " ".join(words)


def _page(
    request: HttpRequest,
    batch: BatchAct,
    menu: MenuAct | None,
    form: forms.Form | None,
    preview: ActPreview | None = None,
    *,
    status: int = 200,
) -> HttpResponse:
    first = Specimen.everything.filter(pk__in=batch.finds[:24]).only("number", "what", "binned_at")
    context = {
        "batch": batch,
        "count": len(batch.finds),
        "first": first,
        "more": len(batch.finds) - len(first),
        "menu": MENU.values(),
        "chosen": menu,
        "form": form,
        "preview": preview,
        # what was edited after this is not overwritten unseen; a page that comes back keeps its own
        "seen": request.POST.get("seen") or latest_entry(),
        "names": known_names()[menu.key] if menu and menu.tries else [],
    }
    return render(request, "pages/finds/many/act.html", context, status=status)


@require_POST
@kept_once
def undo_many(request: HttpRequest, pk: int) -> HttpResponse:
    """Take all of it back as one step; what was changed since stays, and is named."""
    batch = get_object_or_404(BatchAct.objects.exclude(done_at=None), pk=pk)
    back = next_address(request, reverse("finds:many_act", args=[pk]))
    if batch.kind not in MENU:
        messages.error(request, "Nothing was undone: this version does not know that act.")
        return redirect(back)
    with saying_why_not(request, NotUndone):
        undone = undo(batch, MENU[batch.kind].bare())
        messages.success(request, _undone_words(undone))
    return redirect(back)


def _undone_words(undone: BatchUndone) -> str:
    said = f"Undone: {'1 piece is' if undone.count == 1 else f'{undone.count:,} pieces are'} as before."
    by_reason: dict[str, list[str]] = {}
    for number, why in undone.left:
        by_reason.setdefault(why, []).append(number)
    for why, numbers in by_reason.items():
        named = ", ".join(numbers[:6]) + (f" and {len(numbers) - 6} more" if len(numbers) > 6 else "")
        said += f" Not undone: {named}, as {why}."
    return f"{said} {YEARS_FOLLOW}" if undone.years_follow else said


@require_safe
@never_cache
def progress(request: HttpRequest, pk: int) -> HttpResponse:
    """How far it has come, for the page that waits. No query."""
    steps = progress_of(pk)
    return JsonResponse({"done": steps[0], "total": steps[1]} if steps else {})

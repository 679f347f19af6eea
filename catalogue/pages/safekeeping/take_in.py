"""A spreadsheet taken in: the file, what its columns are, what each row would do, and doing or undoing it."""

from functools import partial
from pathlib import Path

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.exchange.backup import running
from catalogue.exchange.models import TakeIn
from catalogue.exchange.takein.dry_run import forget_verdicts, run_dry, verdicts_of
from catalogue.exchange.takein.in_background import dry_run_work, write_work
from catalogue.exchange.takein.pictures_given import hold_from_folder, hold_from_zip, pictures_named
from catalogue.exchange.takein.stored_sheet import begin_take_in, columns_of, remember, sheet_of_take_in
from catalogue.exchange.takein.undo_take_in import TakeInNotUndone, undo_take_in
from catalogue.exchange.takein.write_rows import TakeInRefused, write_take_in
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.undo import say_with_undo, saying_why_not
from catalogue.specimens.models import Specimen

from .backups import BUSY
from .take_in_forms import ColumnsForm, PicturesForm, SheetFileForm
from .take_in_rows import RowsShown, rows_shown

# So many rows are judged, and written, while one waits; more in the background with a bar.
JUDGED_AT_ONCE, WRITTEN_AT_ONCE = 1_000, 150
LAST_SHOWN_IMPORTS = 20
FINDS_NAMED = 24


@never_cache
@GET_OR_POST
@kept_once
def take_in(request: HttpRequest) -> HttpResponse:
    """Choose a spreadsheet; it is read, and nothing is written but what its columns may be."""
    form = SheetFileForm(request)
    if request.method == "POST" and form.is_valid():
        begun = begin_take_in(form.name, form.data_of_file, form.sheet)
        before = TakeIn.objects.filter(file_digest=begun.file_digest, undone_at=None).exclude(done_at=None)
        if before.exists():
            messages.info(request, "This very file was taken in before: what it says of its rows is below.")
        return redirect("safekeeping:take_in_columns", begun.pk)
    context = {
        "form": form,
        "done": TakeIn.objects.exclude(done_at=None).defer("cells", "verdicts")[:LAST_SHOWN_IMPORTS],
        "begun": TakeIn.objects.filter(done_at=None).defer("cells", "verdicts")[:LAST_SHOWN_IMPORTS],
    }
    status = 422 if request.method == "POST" else 200
    return render(request, "pages/safekeeping/take_in.html", context, status=status)


@never_cache
@GET_OR_POST
@kept_once
def columns(request: HttpRequest, pk: int) -> HttpResponse:
    """What each column is, with some of its cells; saving it judges every row."""
    begun = get_object_or_404(TakeIn, pk=pk)
    if begun.done_at:
        return redirect("safekeeping:take_in_rows", pk)
    sheet = sheet_of_take_in(begun)
    guesses, _ = columns_of(begun, sheet)
    form = ColumnsForm(request.POST if request.method == "POST" else None, take_in=begun, guesses=guesses,
                       sheet=sheet)  # fmt: skip
    if request.method == "POST" and form.is_valid():
        answers = form.answers()
        begun.answers, begun.columns_said = answers.to_store(), True
        forget_verdicts(begun)
        begun.save()
        remember(begun, answers)
        _judge(request, begun)
        return redirect("safekeeping:take_in_rows", pk)
    context = {"take_in": begun, "form": form, "sheet": sheet}
    status = 422 if request.method == "POST" else 200
    return render(request, "pages/safekeeping/take_in_columns.html", context, status=status)


def _judge(request: HttpRequest, begun: TakeIn) -> None:
    if begun.row_count <= JUDGED_AT_ONCE:
        run_dry(begun)
        return
    # What it reads must be there: after the commit.
    name = f"Looking at the rows of {begun.name}"
    transaction.on_commit(partial(running.begin, name, dry_run_work(begun.pk)))
    if (now := running.current()) and not now.ended:
        messages.error(request, BUSY)


@never_cache
@GET_OR_POST
@kept_once
def rows(request: HttpRequest, pk: int) -> HttpResponse:
    """What each row would do; post writes all of them, or only the good ones, as they were shown."""
    begun = get_object_or_404(TakeIn, pk=pk)
    if request.method != "POST":
        return _rows_page(request, begun)
    only_good, shown = request.POST.get("how") == "good", request.POST.get("shown", "")
    if begun.row_count > WRITTEN_AT_ONCE and not begun.done_at:
        if (now := running.current()) and not now.ended:
            messages.error(request, BUSY)
            return redirect("safekeeping:take_in_rows", pk)
        work = write_work(pk, only_good=only_good, shown=shown)
        transaction.on_commit(partial(running.begin, f"Taking in {begun.name}", work))
        return redirect(f"{reverse('safekeeping:take_in_rows', args=[pk])}?runs=1")
    try:
        written = write_take_in(pk, only_good=only_good, shown=shown)
    except TakeInRefused as why:
        begun.refresh_from_db()
        return _rows_page(request, begun, trouble=str(why))
    say_with_undo(request, written.words, reverse("safekeeping:take_in_undo", args=[pk]))
    return redirect("safekeeping:take_in_rows", pk)


def _rows_page(request: HttpRequest, begun: TakeIn, *, trouble: str = "") -> HttpResponse:
    task = running.current()
    runs = task is not None and not task.ended and begun.name in task.name
    if begun.done_at is None and verdicts_of(begun) is None and not runs:
        if begun.row_count > JUDGED_AT_ONCE:
            return redirect("safekeeping:take_in_columns", begun.pk)
        run_dry(begun)
    shown: RowsShown | None = None if runs else rows_shown(request, begun)
    finds = Specimen.everything.filter(taken_rows__take_in=begun).order_by("pk") if begun.done_at else None
    context = {
        "take_in": begun,
        "task": task if runs or "runs" in request.GET else None,
        "runs": runs,
        "shown": shown,
        "trouble": trouble,
        "pictures": PicturesForm(request) if begun.done_at is None else None,
        "named": 0 if begun.done_at or runs else len(pictures_named(begun)),
        "given": sum("token" in each for each in begun.pictures.values()),
        "finds": finds[:FINDS_NAMED] if finds is not None else [],
        "more": max(0, finds.count() - FINDS_NAMED) if finds is not None else 0,
    }
    return render(request, "pages/safekeeping/take_in_rows.html", context, status=422 if trouble else 200)


@require_POST
def pictures(request: HttpRequest, pk: int) -> HttpResponse:
    """Hold the pictures that rows name, from a zip or a folder; the rows are looked at anew."""
    begun = get_object_or_404(TakeIn, pk=pk, done_at=None)
    form = PicturesForm(request)
    if not form.is_valid():
        for sentences in form.errors.values():
            messages.error(request, " ".join(map(str, sentences)))
        return redirect("safekeeping:take_in_rows", pk)
    wanted = pictures_named(begun)
    try:
        if form.cleaned_data.get("zip"):
            hold_from_zip(begun, wanted, form.cleaned_data["zip"].file)
        else:
            hold_from_folder(begun, wanted, Path(form.cleaned_data["folder"]).expanduser())
    except running.WorkRefused as why:
        messages.error(request, f"{why} Nothing was taken.")
        return redirect("safekeeping:take_in_rows", pk)
    given = sum("token" in each for each in begun.pictures.values())
    forget_verdicts(begun)
    begun.save()
    _judge(request, begun)
    messages.success(request, f"{given:,} of {len(wanted):,} pictures are here.")
    return redirect("safekeeping:take_in_rows", pk)


@require_POST
@kept_once
def undo(request: HttpRequest, pk: int) -> HttpResponse:
    """Take all of it back as one step; what was changed since stays, and is named."""
    get_object_or_404(TakeIn, pk=pk)
    with saying_why_not(request, TakeInNotUndone):
        undone = undo_take_in(pk)
        messages.success(request, undone.words)
    return redirect("safekeeping:take_in_rows", pk)


@require_POST
def drop(request: HttpRequest, pk: int) -> HttpResponse:
    """Forget a sheet that was begun and not taken in."""
    begun = TakeIn.objects.filter(pk=pk, done_at=None).first()
    if begun is not None:
        begun.delete()
        messages.success(request, f"{begun.name} is forgotten; nothing of it was taken in.")
    return redirect("safekeeping:take_in")

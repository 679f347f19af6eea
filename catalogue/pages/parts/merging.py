"""Merging a record with another of its room: choose it, see what moves, do it; undone on the page kept."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

from django import forms
from django.contrib import messages
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse

from catalogue.common.forms import HouseForm
from catalogue.common.limits import key_typed
from catalogue.common.look_alikes import NamedRow, Pairs, by_likeness
from catalogue.common.merged import merged_into
from catalogue.common.models import Merge
from catalogue.common.records import Record
from catalogue.pages.parts.undo import say_with_undo
from catalogue.specimens.services.merging import (
    MergeError,
    merge_records,
    part_records,
    takes_over,
    what_moves,
)

Row = TypeVar("Row", bound=Record)
MOST_OFFERED = 12


@dataclass(frozen=True)
class MergeRoom:
    """What a room says of merging its records. `space` is its name among the addresses.

    `rows` are those that another may be merged into; `beside` says what tells two of a name apart, `settled`
    of which it is known what they are: two such are never one, nor are pairs that `may_be_one` leaves out.
    """

    space: str
    word: str
    words: str
    rows: Callable[[], QuerySet[Any]]
    beside: Callable[[Any], str]
    follows: str
    settled: Callable[[Any], bool] = lambda row: False
    settled_words: str = ""
    # Of pairs that look alike those that may be one by what else is on record.
    may_be_one: Callable[[Pairs], Pairs] = lambda pairs: pairs

    def list_address(self) -> str:
        """The list of the room, with the pairs that look like one opened: the next is answered there."""
        return reverse(f"{self.space}:{self.words}", query={"alike": "1"}, fragment="alike")

    def label(self, row: Any) -> str:
        """A row as it is told apart from others of its name."""
        words, beside = str(row), self.beside(row)
        return words if not beside or beside in words else f"{words}, {beside}"

    def named(self) -> list[NamedRow]:
        """All of the room, in the order of their keys."""
        rows = self.rows().order_by("pk")
        return [NamedRow(row.pk, row.name, self.beside(row), self.settled(row)) for row in rows]


class MergeForm(HouseForm):
    """The record that the other one is taken into; of one that was merged meanwhile it is said into what."""

    into: Any = forms.ModelChoiceField(
        queryset=Merge.objects.none(),
        widget=forms.HiddenInput,
        error_messages={
            "invalid_choice": "That is none to merge it into: choose one of the list.",
            "required": "Choose one of the list.",
        },
    )

    def __init__(self, data: Any, *, rows: QuerySet[Any]) -> None:
        super().__init__(data)
        into = self.fields["into"]
        assert isinstance(into, forms.ModelChoiceField)
        into.queryset = rows
        chosen = key_typed(str((data or {}).get("into", "")))
        gone: Any = rows.model.everything.filter(pk=chosen).first() if chosen is not None else None
        if gone and gone.binned_at and (kept := merged_into(gone)):
            said = f"{gone} was merged into {kept} already. Undo that first, or choose another."
            into.error_messages["invalid_choice"] = said.replace("%", "%%")


def merge_page(request: HttpRequest, room: MergeRoom, gone: Any) -> HttpResponse:
    """Without `into` the question; with it, asked by GET, what would move; posted, it is done."""
    if into := merged_into(gone):
        messages.error(request, f"{gone} was merged into {into} already. Nothing was done twice.")
        return redirect(into)
    if gone.binned_at:
        raise Http404(f"{gone} is in the bin: take it out there first.")
    posted = request.method == "POST"
    asked = request.POST if posted else request.GET
    from_list = asked.get("from") == "list"
    form = MergeForm(asked if "into" in asked or posted else None, rows=room.rows())
    page: dict[str, Any] = {"form": form, "gone": gone, "room": room, "from_list": from_list}
    page["gone_words"] = room.label(gone)
    if form.is_valid():
        kept = form.cleaned_data["into"]
        try:
            if posted:
                made = merge_records(kept, gone)
                undo = reverse(f"{room.space}:merge_undo", args=[made.pk])
                said = f"{room.label(gone)} is merged into {room.label(kept)}."
                say_with_undo(request, said, undo)
                return redirect(room.list_address() if from_list else kept)
            page |= {"kept": kept, "kept_words": room.label(kept), "moving": what_moves(kept, gone)}
            page |= {"over": takes_over(kept, gone), "either_way": not gone.why_not_merged(kept)}
        except MergeError as why:
            form.add_error("into", str(why))
    if "kept" not in page:
        words = request.GET.get("q", "").strip()[:200]
        page |= {"q": words, "choices": choices(room, gone, words)}
    return render(request, "pages/parts/merge.html", page, status=422 if posted else 200)


def choices(room: MergeRoom, gone: Any, words: str) -> list[NamedRow]:
    """The records likest to what was searched, else to the one to be merged itself. One query."""
    rows = [row for row in room.named() if row.key != gone.pk]
    return by_likeness(words or gone.name, rows)[:MOST_OFFERED]


def undo_page(request: HttpRequest, room: MergeRoom, pk: int) -> HttpResponse:
    """The merged record is there again, with what moved."""
    made = get_object_or_404(Merge, pk=pk, kind=room.word)
    try:
        gone: Any = part_records(made)
    except MergeError as why:
        messages.error(request, str(why))
        return redirect(f"{room.space}:{room.words}")
    messages.success(request, f"Undone: {gone} stands by itself again.")
    return redirect(gone)


def page_or_kept(rows: QuerySet[Row], everything: QuerySet[Row], **named: object) -> Row | HttpResponse:
    """The record whose page is asked for; of one that was merged, the way to the page of the one kept."""
    if (found := rows.filter(**named).first()) is not None:
        return found
    into: Any = merged_into(get_object_or_404(everything, **named))
    if into is None:
        raise Http404
    return redirect(into)

"""What a small act says: what was done, with Undo in the notice, or why it was not done.

A view of one is: do it and say so within `saying_why_not`, then go back. The message that says what was done
carries the address that takes it back.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, Final

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from catalogue.common.forms.optimistic_lock import version_of
from catalogue.pages.parts.from_bin import VERSION_BEFORE
from catalogue.pages.parts.history_kinds import history_kind_of
from catalogue.pages.parts.history_restoring import state_version
from catalogue.pages.parts.next_address import next_address
from catalogue.pages.parts.visible import TellsSite, ask_first, unless_it_tells
from catalogue.specimens.models import Specimen

# `parts/messages.html` draws the button from it.
UNDO_TAG: Final = "undo:"
STRIKE_TAG: Final = "strike:"


@contextmanager
def saying_why_not(
    request: HttpRequest, *refused: type[Exception], before: str = "", level: int = messages.ERROR
) -> Iterator[None]:
    """Within it an act is done and said; where it raises one of `refused`, its words are said instead.

    `before`: what stands before these words. What comes after is reached either way: the way back.
    """
    try:
        yield
    except refused as why:
        messages.add_message(request, level, f"{before}{why}")


def say_with_undo(request: HttpRequest, words: str, address: str) -> None:
    """Say what was done, with a button that posts to `address`; that one asks what has changed since."""
    messages.success(request, words, extra_tags=f"{UNDO_TAG}{address}")


def say_saved(request: HttpRequest, record: Any, words: str, before: str = "") -> None:
    """Say what was saved of a record, with Undo where that changed it and its earlier state can come back.

    `before`: its state from before (`state_version`); of a form `record_to_edit` has noted it.
    """
    before = before or vars(request).get(VERSION_BEFORE, "")
    kind, after = history_kind_of(record), state_version(record)
    if not (before and kind and kind.stays is not None and after != before):
        messages.success(request, words)
        return
    say_with_undo(request, words, reverse("history:undo", args=[kind.key, record.pk, before, after]))


def say_with_offer(request: HttpRequest, words: str, address: str) -> None:
    """Say what a find may be, with a button that strikes it off the list of what is looked for."""
    messages.success(request, words, extra_tags=f"{STRIKE_TAG}{address}")


def say_changed(request: HttpRequest, find: Specimen, column: str, before: str, undo: str) -> None:
    """Say what a find's stage or standing is now; `undo` names the page that takes the change back."""
    words = f"{find.number} is now: {_shown(find, column)}."
    if getattr(find, column) == before:
        messages.success(request, words)
    else:
        say_with_undo(request, words, reverse(undo, args=[find.number, version_of(find)]))


def take_back(
    request: HttpRequest, find: Specimen, column: str, act: Callable[[Specimen], Specimen]
) -> HttpResponse:
    """Undo a change of stage or standing by `act`; where that raises ValueError, say why, and go on."""
    try:
        find = unless_it_tells(request, find, act)
    except TellsSite as tells:
        return ask_first(request, tells)
    except ValueError as why:
        messages.error(request, str(why))
    else:
        messages.success(request, f"Undone: {find.number} is {_shown(find, column)} again.")
    return redirect(next_address(request, find.get_absolute_url()))


def say_out(request: HttpRequest, numbers: list[str], words: str, back: str, *, new: bool = True) -> None:
    """Say which pieces came out of a water by this tap, with Undo; not `new`: they were out before it."""
    if not new or not numbers:
        who = numbers[0] if numbers else "Everything"
        messages.warning(request, f"{who} was out already; nothing was written twice.")
    else:
        who = f"{numbers[0]} is" if len(numbers) == 1 else f"{len(numbers)} pieces are"
        say_with_undo(request, f"{who} {words}.", back)


def _shown(find: Any, column: str) -> str:
    return str(getattr(find, f"get_{column}_display")())

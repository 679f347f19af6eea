"""One piece moved, and said so with Undo."""

from django.contrib import messages
from django.http import HttpRequest
from django.urls import reverse

from catalogue.pages.parts.undo import say_with_undo
from catalogue.shelves.models import Place
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import move_to


def say_moved(request: HttpRequest, find: Specimen, to: Place | None, why: str = "") -> None:
    """Move one piece and say so, with Undo; where it stands there already, say that."""
    stood = find.place_id
    find = move_to(find, to, why)
    words = f"{find.number} is now in {to}." if to else f"{find.number} has no place now."
    last = find.moves.order_by("-pk").first()
    if last is None or stood == find.place_id:
        messages.success(request, words)
    else:
        say_with_undo(request, words, reverse("finds:find_move_undo", args=[find.number, last.pk]))

"""What was typed into a field that no form of its own reads: taken whole or refused, never cut."""

from django.core.exceptions import BadRequest
from django.http import HttpRequest

from catalogue.common.limits import NOTE_LENGTH, too_many_letters


def text_typed(request: HttpRequest, name: str, label: str, most: int = NOTE_LENGTH) -> str:
    """The text sent under that name, without blanks around it; empty where nothing was sent.

    Raises BadRequest where it has more than `most` letters: the page of that says so, by the field's label,
    and shows what was typed.
    """
    typed = request.POST.get(name, "").strip()
    if len(typed) > most:
        raise BadRequest(f"{label}: {too_many_letters(len(typed), most)}. Nothing was saved.")
    return typed

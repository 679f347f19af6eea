"""Text typed into a field that no form of its own reads: taken whole or refused, or its rest said back."""

from django.contrib import messages
from django.core.exceptions import BadRequest
from django.http import HttpRequest

from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, too_many_letters


def text_typed(request: HttpRequest, name: str, label: str, most: int = NOTE_LENGTH) -> str:
    """The text sent under that name, without blanks around it; empty where nothing was sent.

    Raises BadRequest where it has more than `most` letters: the page of that says so, by the field's label,
    and shows what was typed.
    """
    typed = request.POST.get(name, "").strip()
    if len(typed) > most:
        raise BadRequest(f"{label}: {too_many_letters(len(typed), most)}. Nothing was saved.")
    return typed


def short_note(request: HttpRequest) -> str:
    """What was typed as `note`, spaces put right, as long as goes in.

    The act beside it is done all the same; of a longer note the rest is shown, to be written elsewhere.
    """
    typed = " ".join(request.POST.get("note", "").split())
    if len(typed) > NAME_LENGTH:
        messages.warning(
            request,
            f"The note has {len(typed):,} letters, and {NAME_LENGTH} go in. "
            f"This did not go in: “{typed[NAME_LENGTH:].strip()}”.",
        )
    return typed[:NAME_LENGTH].strip()

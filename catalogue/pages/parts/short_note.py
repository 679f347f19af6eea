"""A note of one line beside a button: what is beyond its length is said back, not cut off without a word."""

from django.contrib import messages
from django.http import HttpRequest

from catalogue.common.limits import NAME_LENGTH


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

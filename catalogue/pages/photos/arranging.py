"""All pictures of one subject in a new order, sent at once."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.http import require_POST

from catalogue.photos import services

from .getting import back_to, get_subject

UNREADABLE = "The order could not be read: open the page again."


@require_POST
def order(request: HttpRequest) -> HttpResponse:
    """`order` is every picture's key, parted by commas. 409 where the pictures are others by now."""
    subject = get_subject(request)
    try:
        services.put_in_order(subject, keys_in(request.POST.get("order", "")))
    except ValueError as why:
        if request.accepts("text/html"):
            messages.error(request, str(why))
            return back_to(request, subject)
        return JsonResponse({"error": str(why)}, status=409)
    return back_to(request, subject) if request.accepts("text/html") else JsonResponse({"kept": True})


def keys_in(text: str) -> list[int]:
    """The keys of "3,1,2". Raises ValueError for anything else."""
    words = text.split(",")
    if not all(word.isascii() and word.isdigit() and len(word) < 19 for word in words):
        raise ValueError(UNREADABLE)
    return [int(word) for word in words]

"""A backup on another machine or a phone: sent by the browser in parts, then restored as any."""

from django.http import HttpRequest, JsonResponse
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from catalogue.exchange.backup.sent import (
    PART_BYTES,
    OutOfStep,
    SentBackup,
    SentRefused,
    begin_sent,
    drop_sent,
    take_part,
)

DIGITS_READ = 16


@never_cache
@require_POST
def begin(request: HttpRequest) -> JsonResponse:
    """Ask for room for a file of so many bytes; the answer says where its parts go."""
    try:
        sent = begin_sent(_number(request.POST.get("bytes", "")))
    except SentRefused as why:
        return JsonResponse({"error": str(why)}, status=422)
    return JsonResponse(_told(sent), status=201)


@never_cache
@require_POST
def part(request: HttpRequest, token: str) -> JsonResponse:
    """Take one part, the request's body; `at` is the byte that it begins with."""
    try:
        sent = take_part(token, _number(request.GET.get("at", "")), request)
    except OutOfStep as other:
        return JsonResponse({"at": other.at}, status=409)
    except SentRefused as why:
        drop_sent(token)
        return JsonResponse({"error": str(why)}, status=422)
    return JsonResponse(_told(sent))


@never_cache
@require_POST
def drop(request: HttpRequest, token: str) -> JsonResponse:
    """Take away what was sent."""
    return JsonResponse({"gone": drop_sent(token)})


def _told(sent: SentBackup) -> dict[str, object]:
    return {
        "at": sent.bytes,
        "part": PART_BYTES,
        "send": reverse("safekeeping:send_part", args=[sent.token]),
        "drop": reverse("safekeeping:send_drop", args=[sent.token]),
        "path": str(sent.path) if sent.is_whole else "",
    }


def _number(text: str) -> int:
    """A whole number as it was said; -1 for what is none."""
    return int(text) if text.isascii() and text.isdigit() and len(text) <= DIGITS_READ else -1

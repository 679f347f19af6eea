"""The addresses that programs read, and the page that explains them."""

from http import HTTPStatus
from typing import Any

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from catalogue.access.api_keys import MOST_REQUESTS
from catalogue.access.models import ApiKey
from catalogue.common.limits import key_typed
from catalogue.exchange.api.finds import find_values, photo_values, photos_asked, value_or_null
from catalogue.exchange.api.kinds import PLAIN_KINDS, ApiKind
from catalogue.exchange.takeout.columns import columns_for
from catalogue.pages.photos.showing import size_response
from catalogue.photos.files import SIZES_PX
from catalogue.specimens.models import Specimen

from .asking import api_view
from .choosing import FIND_FILTERS, PUBLIC_FILTERS, finds_asked
from .paging import LONGEST_PART, USUAL_PART, answer_part, part_of, unknown_names
from .problems import BEGINS, ApiProblem

OF_FINDS, OF_PICTURES = "finds", "pictures"


@require_safe
def documentation(request: HttpRequest) -> HttpResponse:
    """The one page that says all of it."""
    shown = {
        "address": f"http://127.0.0.1:{settings.PORT}",
        "kinds": PLAIN_KINDS.values(),
        "columns": columns_for(public=False),
        "public_names": {each.name for each in columns_for(public=True)},
        "filters": FIND_FILTERS,
        "public_filters": PUBLIC_FILTERS,
        "at_once": USUAL_PART,
        "most_at_once": LONGEST_PART,
        "most_in_a_minute": MOST_REQUESTS,
    }
    return render(request, "pages/api/api.html", shown)


@api_view
def index(request: HttpRequest, key: ApiKey) -> dict[str, Any]:
    """What there is, and what this key sees."""
    unknown_names(request, ())
    kinds = [OF_FINDS, OF_PICTURES, *(kind.name for kind in PLAIN_KINDS.values() if _may(key, kind))]
    return {"sees": key.sees, "lists": {name: f"{BEGINS}{name}/" for name in kinds}}


@api_view
def rows(request: HttpRequest, key: ApiKey, kind: str) -> dict[str, Any]:
    """A part of a list."""
    public = _is_public(key)
    if kind == OF_FINDS:
        keys, cursor = part_of(request, finds_asked(request, public=public))
        return answer_part(request, find_values(keys, public=public), cursor)
    unknown_names(request, ())
    if kind == OF_PICTURES:
        photos = photos_asked(public=public)
        keys, cursor = part_of(request, photos)
        items = photo_values(list(photos.filter(pk__in=keys).order_by("pk")), public=public)
        return answer_part(request, items, cursor)
    found = _kind(kind, key)
    keys, cursor = part_of(request, found.asked(public=public))
    items = [_plain(found, row, public) for row in found.rows().filter(pk__in=keys).order_by("pk")]
    return answer_part(request, items, cursor)


@api_view
def one_row(request: HttpRequest, key: ApiKey, kind: str, name: str) -> dict[str, Any]:
    """One of them: a find by its number, anything else by its id."""
    unknown_names(request, ())
    public = _is_public(key)
    if kind == OF_FINDS:
        finds = Specimen.objects.for_visitors() if public else Specimen.objects.all()
        keys = list(finds.filter(number=name).values_list("pk", flat=True))
        items = find_values(keys, public=public)
    else:
        pk = key_typed(name) or 0
        if kind == OF_PICTURES:
            items = photo_values(list(photos_asked(public=public).filter(pk=pk)), public=public)
        else:
            found = _kind(kind, key)
            items = [_plain(found, row, public) for row in found.asked(public=public).filter(pk=pk)]
    if not items:
        raise ApiProblem(
            HTTPStatus.NOT_FOUND, f"There is no {name[:60]!r} among the {kind} that this key sees."
        )
    return items[0]


@api_view
def picture(request: HttpRequest, key: ApiKey, pk: int, size: str) -> HttpResponse:
    """A picture's bytes, as JPEG."""
    photo = photos_asked(public=_is_public(key)).filter(pk=pk).first()
    if photo is None or size not in SIZES_PX:
        words = f"There is no such picture that this key sees; sizes are {', '.join(SIZES_PX)}."
        raise ApiProblem(HTTPStatus.NOT_FOUND, words)
    try:
        answer = size_response(request, photo.sha256, photo.format, size)
    except Http404 as gone:
        raise ApiProblem(HTTPStatus.NOT_FOUND, str(gone)) from None
    answer["Cache-Control"] = "private, no-store"
    return answer


@api_view
def nothing_here(request: HttpRequest, key: ApiKey, rest: str) -> None:
    """Any other address below."""
    words = f"There is nothing at this address; {BEGINS} lists what there is. Addresses end with /."
    raise ApiProblem(HTTPStatus.NOT_FOUND, words)


def _is_public(key: ApiKey) -> bool:
    return key.sees != ApiKey.Sees.WHOLE


def _may(key: ApiKey, kind: ApiKind) -> bool:
    return bool(kind.public) or not _is_public(key)


def _kind(name: str, key: ApiKey) -> ApiKind:
    kind = PLAIN_KINDS.get(name)
    if kind is None:
        raise ApiProblem(
            HTTPStatus.NOT_FOUND, f"There is no list {name[:60]!r}; {BEGINS} names those there are."
        )
    if not _may(key, kind):
        words = f"This key sees what visitors may see, and that is nothing of {name}."
        raise ApiProblem(HTTPStatus.FORBIDDEN, words)
    return kind


def _plain(kind: ApiKind, row: Any, public: bool) -> dict[str, Any]:
    return {name: _json_value(value) for name, value in kind.values(row, public=public).items()}


def _json_value(value: Any) -> Any:
    return value if isinstance(value, list) else value_or_null(value)

"""Who asks, and how often: a key of one's own programs in the request's header, never in its address."""

import hashlib
import json
from collections.abc import Callable
from functools import wraps
from http import HTTPStatus
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.core.serializers.json import DjangoJSONEncoder
from django.http import HttpRequest, HttpResponse
from django.utils.cache import get_conditional_response
from django.views.decorators.csrf import csrf_exempt

from catalogue.access.api_keys import TooManyRequests, api_key_of, count_a_request, note_use
from catalogue.access.models import ApiKey
from catalogue.access.tries import TooManyTries

from .problems import ApiProblem, problem_answer

IN_AN_ADDRESS = ("key", "api_key", "access_token", "token")
METHODS = ("GET", "HEAD", "OPTIONS")
CHALLENGE = 'Bearer realm="Siltmark"'


def api_view(view: Callable[..., Any]) -> Callable[..., HttpResponse]:
    """Decorator: the view gets the key that asks, and returns values for JSON or a response of its own.

    The key alone decides what is seen: a browser that is let in is asked for one too.
    """

    @wraps(view)
    def asked(request: HttpRequest, **named: Any) -> HttpResponse:
        try:
            if request.method not in METHODS:
                words = "Nothing is changed by this way: ask with GET."
                raise ApiProblem(HTTPStatus.METHOD_NOT_ALLOWED, words, {"Allow": ", ".join(METHODS)})
            key = _key_of(request)
            count_a_request(key)
            found = view(request, key, **named)
        except TooManyRequests as error:
            after = {"Retry-After": str(error.wait_s)}
            return problem_answer(HTTPStatus.TOO_MANY_REQUESTS, str(error), after)
        except ApiProblem as why:
            return problem_answer(why.status, why.detail, why.headers)
        note_use(key)
        return found if isinstance(found, HttpResponse) else _json(request, found)

    # No cookie opens anything here, so no other site can have a browser act by it.
    return csrf_exempt(login_not_required(asked))


def _json(request: HttpRequest, found: Any) -> HttpResponse:
    """Values as JSON with their tag; 304 and no body for a program that has them."""
    links = found.pop("_links", "") if isinstance(found, dict) else ""
    body = json.dumps(found, cls=DjangoJSONEncoder, ensure_ascii=False).encode()
    tag = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
    whole = HttpResponse(body, content_type="application/json")
    whole["ETag"] = tag
    if links:
        whole["Link"] = links
    answer: HttpResponse = get_conditional_response(request, etag=tag, response=whole) or whole
    answer["Cache-Control"] = "private, no-store"
    answer["Vary"] = "Authorization"
    return answer


def _key_of(request: HttpRequest) -> ApiKey:
    if any(name in request.GET for name in IN_AN_ADDRESS):
        words = (
            "A key is never put into an address, where others read it in logs: send it in the header "
            "Authorization. End this one in the settings, and make another."
        )
        raise ApiProblem(HTTPStatus.BAD_REQUEST, words)
    scheme, _, sent = request.headers.get("Authorization", "").partition(" ")
    if scheme.lower() != "bearer" or not sent.strip():
        raise _not_let_in("Send a key in the header Authorization: Bearer, then the key.", CHALLENGE)
    try:
        key = api_key_of(sent.strip(), request.META["REMOTE_ADDR"])
    except TooManyTries as error:
        after = {"Retry-After": str(error.minutes * 60)}
        raise ApiProblem(HTTPStatus.TOO_MANY_REQUESTS, str(error), after) from None
    wrong = f'{CHALLENGE}, error="invalid_token"'
    if key is None:
        raise _not_let_in("There is no such key. Make one in the settings, under Keys for programs.", wrong)
    if key.ended_at:
        raise _not_let_in("This key was ended in the settings. Make another there.", wrong)
    return key


def _not_let_in(words: str, challenge: str) -> ApiProblem:
    return ApiProblem(HTTPStatus.UNAUTHORIZED, words, {"WWW-Authenticate": challenge})

"""The door: a link with a key, a password on the network, and the way out."""

from django.conf import settings
from django.contrib.auth import logout
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from catalogue.access import browsers, services
from catalogue.access.models import OneTimeKey
from catalogue.access.passwords import check_password
from catalogue.access.tries import TooManyTries
from catalogue.common.forms.idempotency_key import address_kept
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.next_address import next_address

from .forms import EnterForm

HOME = "/"
LET_IN_BY = {OneTimeKey.Opens.OWNER: "by the link", OneTimeKey.Opens.PHONE: "paired by code"}


@login_not_required
@never_cache
@GET_OR_POST
def enter(request: HttpRequest) -> HttpResponse:
    """Say whose catalogue this is; on the network, take the owner's password where one is set."""
    if request.user.is_authenticated:
        return redirect(_onward(request))
    owner = services.the_owner()
    if not (settings.LAN and owner.has_usable_password()):
        return render(request, "pages/access/enter.html", status=403 if request.method == "POST" else 200)
    form = EnterForm(request.POST or None)
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            try:
                known = check_password(form.cleaned_data["password"], request.META["REMOTE_ADDR"])
            except TooManyTries as error:
                said = render(request, "pages/access/enter.html", {"minutes": error.minutes}, status=429)
                said["Retry-After"] = str(error.minutes * 60)
                return said
            if known:
                browsers.let_in(request, known, "by password")
                return redirect(_onward(request))
            form.add_error("password", "That is not the password.")
    return render(
        request, "pages/access/enter.html", {"form": form, "onward": _onward(request)}, status=status
    )


@login_not_required
@never_cache
@require_safe
def standing(request: HttpRequest) -> JsonResponse:
    """For a page that was open for long: whether this browser is let in, a CSRF token that holds now, and the
    address that the form with the idempotency key `once` led to, where it was kept.
    """
    known = request.user.is_authenticated
    kept = address_kept(request.GET.get("once", "")) if known else ""
    return JsonResponse({"in": known, "token": get_token(request), "kept": kept})


@login_not_required
@never_cache
@require_safe
def enter_by_key(request: HttpRequest, key: str) -> HttpResponse:
    """Let in the browser that opens a fresh key's link; the key is used up by it."""
    ahead = "prefetch" in request.headers.get("Sec-Purpose", request.headers.get("Purpose", ""))
    if ahead or request.method == "HEAD":
        # Programs that look at links ahead of the click must not use up the key.
        return _without_referrer(HttpResponse(status=204))
    if request.user.is_authenticated:
        # Used up all the same: the link may have been read over this browser's shoulder.
        services.use_key(key)
        return _without_referrer(redirect(HOME))
    try:
        used = services.try_key(key, request.META["REMOTE_ADDR"])
    except TooManyTries as error:
        said = render(request, "pages/access/key_used.html", {"minutes": error.minutes}, status=429)
        said["Retry-After"] = str(error.minutes * 60)
        return _without_referrer(said)
    if used is None:
        return _without_referrer(render(request, "pages/access/key_used.html", status=410))
    browsers.let_in(request, services.the_owner(), LET_IN_BY[OneTimeKey.Opens(used.opens)])
    return _without_referrer(redirect(HOME))


@require_POST
def leave(request: HttpRequest) -> HttpResponse:
    """Sign this browser out."""
    logout(request)
    return redirect("access:enter")


def _onward(request: HttpRequest) -> str:
    """The page that was asked for, where it is one of ours."""
    return next_address(request, HOME)


def _without_referrer(response: HttpResponse) -> HttpResponse:
    """The address holds the key: no page may learn it from the browser."""
    response["Referrer-Policy"] = "no-referrer"
    return response

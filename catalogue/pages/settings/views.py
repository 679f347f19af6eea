"""Settings: the house, the password, browsers let in, phones."""

from typing import Any, cast

from django import forms
from django.conf import settings
from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.models import User
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST, require_safe

from catalogue import __version__
from catalogue.access import browsers, services
from catalogue.access.middleware import known_sessions
from catalogue.access.models import OneTimeKey
from catalogue.common import qr_code
from catalogue.common.forms import HouseModelForm
from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.models import HouseSettings
from catalogue.pages.access.forms import PasswordForm
from catalogue.pages.parts.history_restoring import state_version
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.undo import say_saved


def _owner(request: HttpRequest) -> User:
    """Nobody else comes here: every address of the room asks for the owner's sign-in."""
    return cast(User, request.user)


# Read by the frame of every page.
SLASH_COOKIE = "siltmark_slash"


class HouseSettingsForm(HouseModelForm):
    class Meta:
        model = HouseSettings
        fields = ("owner_name", "ask_line", "visitors_may_ask", "label_address", "emergency_lines", "units")
        widgets = {"units": forms.RadioSelect}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["units"].required = False

    def clean_units(self) -> str:
        return str(self.cleaned_data["units"] or self.instance.units)


@GET_OR_POST
@kept_once
def house(request: HttpRequest) -> HttpResponse:
    """Whose catalogue it is, how to ask for a piece, what address labels carry, whom to call."""
    known = HouseSettings.current()
    if request.method == "POST" and known._state.adding:
        # Nothing was set yet: what stands there at first is kept too, so that Undo leads back to it.
        known.save()
    before, is_new = state_version(known), known._state.adding
    form = HouseSettingsForm(request.POST or None, instance=known)
    if request.method == "POST" and form.is_valid():
        say_saved(request, form.save(), "Saved.", before)
        return redirect("settings:house")
    status = 422 if request.method == "POST" else 200
    shown = {"form": form, "known": None if is_new else known}
    return render(request, "pages/settings/house.html", shown, status=status)


def page(request: HttpRequest, form: PasswordForm, status: int = 200) -> HttpResponse:
    shown = {
        "form": form,
        "has_password": _owner(request).has_usable_password(),
        "browsers": browsers.let_in_now(_owner(request), request.session.session_key),
        "lan": settings.LAN,
        "port": settings.PORT,
        "addresses": settings.LAN_ADDRESSES,
        "folder": settings.DATA_DIR,
        "version": __version__,
    }
    return render(request, "pages/settings/settings.html", shown, status=status)


@never_cache
@require_safe
def settings_page(request: HttpRequest) -> HttpResponse:
    return page(request, PasswordForm(owner=_owner(request), address=request.META["REMOTE_ADDR"]))


@sensitive_post_parameters()
@never_cache
@require_POST
def set_password(request: HttpRequest) -> HttpResponse:
    """Set or change the owner's password. Every other browser is signed out by it, this one stays."""
    form = PasswordForm(request.POST, owner=_owner(request), address=request.META["REMOTE_ADDR"])
    if not form.is_valid():
        return page(request, form, status=422)
    _owner(request).set_password(form.cleaned_data["password"])
    _owner(request).save(update_fields=["password"])
    update_session_auth_hash(request, _owner(request))
    services.forget_keys(OneTimeKey.Opens.PHONE)
    known_sessions.replace({request.session.session_key or ""})
    messages.success(request, "The password is set. Every other browser and phone was signed out.")
    return redirect("settings:settings")


@require_POST
def sign_out(request: HttpRequest, name: str) -> HttpResponse:
    """Sign another browser or phone out."""
    if not browsers.sign_out(_owner(request), name):
        raise Http404("That browser is signed out already.")
    messages.success(request, "Signed out.")
    return redirect("settings:settings")


@require_POST
def keyboard(request: HttpRequest) -> HttpResponse:
    """Whether "/" leads to the search box: of this browser alone, as a keyboard is its own."""
    response = redirect("settings:settings")
    if request.POST.get("slash"):
        response.delete_cookie(SLASH_COOKIE, samesite="Lax")
        messages.success(request, "The key / leads to the search box.")
    else:
        response.set_cookie(SLASH_COOKIE, "off", max_age=settings.SESSION_COOKIE_AGE, samesite="Lax")
        messages.success(request, "The key / is a key like any other.")
    return response


@never_cache
@GET_OR_POST
def phones(request: HttpRequest) -> HttpResponse:
    """Explain pairing; when asked (POST), show a code. A code is never shown twice: it is not kept."""
    addresses = settings.LAN_ADDRESSES
    shown = {"addresses": addresses, "lan": settings.LAN}
    if request.method == "POST" and addresses:
        wanted = request.POST.get("address")
        address = wanted if wanted in addresses else addresses[0]
        key = services.make_key(OneTimeKey.Opens.PHONE)
        link = f"http://{address}:{settings.PORT}{reverse('access:enter', args=[key])}"
        shown |= {"link": link, "code": qr_code.on_screen(link), "chosen": address}
        shown["minutes"] = int(services.LIFETIMES[OneTimeKey.Opens.PHONE].total_seconds() // 60)
    return render(request, "pages/settings/phones.html", shown)

"""Settings: the owner's password, who is let in, where the catalogue can be reached."""

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_POST

from catalogue.access import browsers
from catalogue.pages.access.forms import PasswordForm


def page(request: HttpRequest, form: PasswordForm, status: int = 200) -> HttpResponse:
    shown = {
        "form": form,
        "has_password": request.user.has_usable_password(),
        "browsers": browsers.let_in_now(request.user, request.session.session_key),
        "lan": settings.LAN,
        "port": settings.PORT,
        "addresses": settings.LAN_ADDRESSES,
        "folder": settings.DATA_DIR,
    }
    return render(request, "pages/settings/settings.html", shown, status=status)


@never_cache
@require_GET
def settings_page(request: HttpRequest) -> HttpResponse:
    return page(request, PasswordForm(owner=request.user))


@sensitive_post_parameters()
@never_cache
@require_POST
def set_password(request: HttpRequest) -> HttpResponse:
    """Set or change the owner's password. Every other browser is signed out by it, this one stays."""
    form = PasswordForm(request.POST, owner=request.user)
    if not form.is_valid():
        return page(request, form, status=422)
    request.user.set_password(form.cleaned_data["password"])
    request.user.save(update_fields=["password"])
    update_session_auth_hash(request, request.user)
    messages.success(request, "The password is set. Every other browser and phone was signed out.")
    return redirect("settings:settings")


@require_POST
def sign_out(request: HttpRequest, name: str) -> HttpResponse:
    """Sign another browser or phone out."""
    if not browsers.sign_out(request.user, name):
        raise Http404("That browser is signed out already.")
    messages.success(request, "Signed out.")
    return redirect("settings:settings")

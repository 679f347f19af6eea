"""Keys for one's own programs: made and shown once, listed, ended."""

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from catalogue.access.api_keys import end_key, keys_in_use, make_api_key
from catalogue.access.models import ApiKey
from catalogue.common.forms import HouseModelForm
from catalogue.pages.parts.http_methods import GET_OR_POST


class ApiKeyForm(HouseModelForm):
    """A name by which its owner knows the key again, and what it sees."""

    class Meta:
        model = ApiKey
        fields = ("name", "sees")
        widgets = {"sees": forms.RadioSelect}
        help_texts = {
            "name": "Such as the program that reads with it.",
            "sees": "Everything means also where things lay, shelves and notes; never the address book.",
        }


@never_cache
@GET_OR_POST
def api_keys(request: HttpRequest) -> HttpResponse:
    """The keys in use; one that was just made is shown on the answer to its form, and never again."""
    form = ApiKeyForm(request.POST or None, initial={"sees": ApiKey.Sees.PUBLIC})
    made = ""
    if request.method == "POST" and form.is_valid():
        made = make_api_key(form.cleaned_data["name"], form.cleaned_data["sees"])
        form = ApiKeyForm(initial={"sees": ApiKey.Sees.PUBLIC})
    status = 422 if request.method == "POST" and not made else 200
    shown = {"form": form, "made": made, "keys": keys_in_use()}
    return render(request, "pages/settings/api_keys.html", shown, status=status)


@require_POST
def api_key_end(request: HttpRequest, pk: int) -> HttpResponse:
    """End one: from its next request on it opens nothing."""
    key = end_key(pk)
    if key is None:
        raise Http404("That key was ended already.")
    messages.success(request, f"The key {key} is ended. Nothing opens with it any more.")
    return redirect("settings:api_keys")

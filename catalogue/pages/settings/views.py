"""The words of the house."""

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from catalogue.common.models import HouseSettings


class HouseSettingsForm(forms.ModelForm):
    class Meta:
        model = HouseSettings
        fields = ("owner_name", "ask_line", "label_address")


@require_http_methods(["GET", "HEAD", "POST"])
def house(request: HttpRequest) -> HttpResponse:
    """Whose catalogue it is, how to ask for a piece, what address labels carry."""
    form = HouseSettingsForm(request.POST or None, instance=HouseSettings.current())
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, "Saved.")
        return redirect("settings:house")
    status = 422 if request.method == "POST" else 200
    return render(request, "pages/settings/house.html", {"form": form}, status=status)

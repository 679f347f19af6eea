"""Notes on a town, a bottler, a product or a maker, written from its own page or from a page of their own."""

from typing import Any

from django.forms import ModelForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from catalogue.common.forms.optimistic_lock import version_of
from catalogue.pages.parts.undo import say_saved


def notes_page(
    request: HttpRequest, form: "ModelForm[Any]", template: str = "pages/parts/notes_page.html"
) -> HttpResponse:
    """Save valid notes and go to what they are about (`subject` in the template); else show the form."""
    posted = request.method == "POST"
    if posted and form.is_valid():
        before = version_of(form.instance)
        form.save()
        say_saved(request, form.instance, "Your notes are saved.", before)
        return redirect(form.instance)
    context = {"form": form, "subject": form.instance}
    return render(request, template, context, status=422 if posted else 200)

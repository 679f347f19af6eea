"""The address book: only the owner ever sees it."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.merged import merged_into, merges_into
from catalogue.pages.parts.from_bin import record_to_edit
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.look_alikes import alike_in
from catalogue.people.forms import PersonForm
from catalogue.people.models import Person
from catalogue.people.services import erase, names_like

from .merging import PEOPLE_MERGING


@require_safe
def people(request: HttpRequest) -> HttpResponse:
    """Everybody in the book."""
    context = {"people": Person.objects.filter(erased_at__isnull=True), "alike": alike_in(PEOPLE_MERGING)}
    return render(request, "pages/people/people.html", context)


@GET_OR_POST
@kept_once
def person(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """Add or change somebody."""
    book = Person.everything.filter(erased_at__isnull=True)
    if pk and request.method != "POST":
        into = merged_into(get_object_or_404(book, pk=pk))
        if into:
            return redirect(into)
    known = record_to_edit(request, book, pk=pk) if pk else None
    form = PersonForm(request.POST or None, instance=known)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, f"{form.instance.name} is in the book.")
        return redirect("people:people")
    status = 422 if request.method == "POST" else 200
    context = {"form": form, "person": known, "merges": merges_into(known) if known else []}
    return render(request, "pages/people/person.html", context, status=status)


@require_safe
def suggest_names(request: HttpRequest) -> HttpResponse:
    """Names for a text box as options, whatever the box is called."""
    typed = next((request.GET.get(box, "") for box in request.GET), "")
    return render(request, "pages/parts/options.html", {"names": names_like(typed)})


@require_POST
def erase_person(request: HttpRequest, pk: int) -> HttpResponse:
    """Blank somebody for good."""
    erase(get_object_or_404(Person, pk=pk))
    messages.success(request, "Erased here. Backups made before today still hold the name.")
    return redirect("people:people")

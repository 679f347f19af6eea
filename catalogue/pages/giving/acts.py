"""What the owner does with a piece to give: each a form or a button, then back to where it stood."""

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from catalogue.giving import services
from catalogue.giving.forms import BackForm, HandOverForm, PromiseForm
from catalogue.pages.parts.next_address import next_address
from catalogue.people.services import person_named
from catalogue.specimens.models import Specimen

GET_OR_POST = require_http_methods(["GET", "HEAD", "POST"])


@require_POST
def standing(request: HttpRequest, number: str) -> HttpResponse:
    """Change the standing by one tap."""
    find = get_find(number)
    try:
        find = services.mark(find, request.POST.get("standing", ""))
    except services.NotGiven as why:
        messages.error(request, str(why))
    else:
        messages.success(request, f"{find.number} is now: {find.get_standing_display()}.")
    return redirect(next_address(request, find.get_absolute_url()))


@GET_OR_POST
def promise(request: HttpRequest, number: str) -> HttpResponse:
    """Promise a piece to somebody."""
    find = get_find(number)
    form = PromiseForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        try:
            with transaction.atomic():
                person = person_named(data["person"])
                services.promise(find, person, on=data["on"], until=data["until"], note=data["note"])
        except services.NotGiven as why:
            form.add_error(None, str(why))
        else:
            messages.success(request, f"{find.number} is promised to {person}.")
            return redirect(find)
    return _form_page(request, "pages/giving/promise.html", find, form)


@GET_OR_POST
def hand_over(request: HttpRequest, number: str) -> HttpResponse:
    """Hand a piece over; the slip can be printed from the next page."""
    find = get_find(number)
    promised = services.open_promise(find)
    form = HandOverForm(request.POST or None, initial={"person": promised.person if promised else ""})
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        try:
            with transaction.atomic():
                person = person_named(data["person"])
                services.hand_over(find, person, on=data["on"], note=data["note"])
        except services.NotGiven as why:
            form.add_error(None, str(why))
        else:
            messages.success(request, f"{find.number} is handed over to {person}. Its record stays here.")
            return redirect(find)
    return _form_page(request, "pages/giving/hand_over.html", find, form)


@require_POST
def withdraw(request: HttpRequest, number: str) -> HttpResponse:
    """End a promise unkept."""
    find = get_find(number)
    try:
        services.withdraw(find, free=request.POST.get("then") == "free")
    except services.NotGiven as why:
        messages.error(request, str(why))
    else:
        messages.success(request, f"The promise of {find.number} is withdrawn.")
    return redirect(next_address(request, find.get_absolute_url()))


@require_POST
def came_back(request: HttpRequest, number: str) -> HttpResponse:
    """A piece that was handed over is here again."""
    find = get_find(number)
    form = BackForm(request.POST)
    try:
        if not form.is_valid():
            raise services.NotGiven(" ".join(form.errors["on"]))
        services.came_back(find, on=form.cleaned_data["on"] or timezone.localdate())
    except services.NotGiven as why:
        messages.error(request, str(why))
    else:
        messages.success(request, f"{find.number} is back, and kept. Give it a place.")
    return redirect(next_address(request, find.get_absolute_url()))


def get_find(number: str) -> Specimen:
    """The find of that number; 404 where there is none."""
    return get_object_or_404(Specimen.objects.select_related("dive__site", "site", "town"), number=number)


def _form_page(request: HttpRequest, template: str, find: Specimen, form) -> HttpResponse:
    site = find.where_found
    context = {"find": find, "form": form, "hold": site if site and site.holds else None}
    return render(request, template, context, status=422 if request.method == "POST" else 200)

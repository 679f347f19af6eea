"""Keeping the story that a person wrote."""

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from catalogue.specimens.models import Specimen

from .form import StoryForm
from .offered import Offer, mark_of


@require_POST
@transaction.atomic
def keep_story(request: HttpRequest, number: str) -> HttpResponse:
    """Save the story as it is in the form; one that changed meanwhile is shown beside it, not overwritten."""
    find = Specimen.objects.select_for_update(of=("self",)).filter(number=number).first()
    if find is None:
        raise Http404("There is no find of that number.")
    form = StoryForm(request.POST)
    sound = form.is_valid()
    changed = form.data.get("seen", "") != mark_of(find.story) and form.data.get("story", "") != find.story
    if not sound or changed:
        offer = Offer(form=form, draft="", open=True)
        context = {"find": find, "offer": offer, "meanwhile": find.story if changed else ""}
        context["seen"] = mark_of(find.story)
        return render(request, "pages/finds/story/again.html", context, status=422)
    story = form.cleaned_data["story"].strip()
    if story != find.story:
        find.story = story
        find.save(update_fields=["story"])
    messages.success(request, "Its story is kept." if story else "It has no story now.")
    return redirect(find.get_absolute_url() + "#story")

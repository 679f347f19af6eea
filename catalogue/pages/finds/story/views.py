"""The story of a find: the form with a draft that its page offers, and keeping what a person wrote."""

import hashlib
from dataclasses import dataclass

from django import forms
from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from catalogue.specimens.models import Specimen

from .draft import draft, story_facts


class StoryForm(forms.Form):
    """The story, and a mark of the one that was on the page when it was opened."""

    use_required_attribute = False

    story = forms.CharField(
        label="Its story",
        required=False,
        max_length=Specimen._meta.get_field("story").max_length,
        widget=forms.Textarea(attrs={"rows": 9}),
    )
    seen = forms.CharField(required=False, widget=forms.HiddenInput)


@dataclass(frozen=True, slots=True)
class Offer:
    """The form as it starts; `draft` is what the rules say now, `open` whether the form is unfolded."""

    form: StoryForm
    draft: str
    open: bool = False


def offer_for(find: Specimen, *, age: str = "") -> Offer:
    """A story there is starts the form; where there is none, the draft does. Nothing is saved by this."""
    drafted = draft(story_facts(find, age=age, treatments=find.treatments.all()))
    form = StoryForm(
        initial={"story": find.story or drafted, "seen": mark_of(find.story)}, auto_id="story_%s"
    )
    return Offer(form, drafted if find.story and find.story.strip() != drafted else "")


def mark_of(story: str) -> str:
    """Tells one story from another, also in another browser."""
    return hashlib.sha256(story.encode("utf-8", "replace")).hexdigest()[:16]


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

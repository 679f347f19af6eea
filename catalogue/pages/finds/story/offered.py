"""What the find's page offers for its story."""

import hashlib
from dataclasses import dataclass

from catalogue.specimens.models import Specimen

from .draft import draft
from .facts import facts_of
from .form import StoryForm


@dataclass(frozen=True, slots=True)
class Offer:
    """The form as it starts; `draft` is what the rules say now, `open` whether the form is unfolded."""

    form: StoryForm
    draft: str
    open: bool = False


def offer_for(find: Specimen, *, age: str = "") -> Offer:
    """A story there is starts the form; where there is none, the draft does. Nothing is saved by this."""
    drafted = draft(facts_of(find, age=age, treatments=find.treatments.all()))
    form = StoryForm(
        initial={"story": find.story or drafted, "seen": mark_of(find.story)}, auto_id="story_%s"
    )
    return Offer(form, drafted if find.story and find.story.strip() != drafted else "")


def mark_of(story: str) -> str:
    """Tells one story from another, also in another browser."""
    return hashlib.sha256(story.encode("utf-8", "replace")).hexdigest()[:16]

"""A find's story: a draft by plain rules (text generation from templates), its form, keeping it.

The draft says only what is on record, and how sure that is. Only what a visitor may read belongs in it: no
person, no shelf, no position, since the story goes with the piece.
"""

import hashlib
import re
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import filterfalse

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from catalogue.care.models import Treatment
from catalogue.common.forms import HouseForm
from catalogue.common.forms.idempotency_key import kept_once
from catalogue.photos.queries import UNDESCRIBED
from catalogue.sites.models import Site
from catalogue.specimens.models import Inscription, Specimen
from dating.spoken import letters_in_words

UNDATED_PHRASES = ("", "not yet dated", "the evidence disagrees")
YEARS_IN = re.compile(r"one of (.+)")


@dataclass(frozen=True, slots=True)
class StoryFacts:
    """What is on record of a find, in words already; an empty one is not known."""

    what: str
    colour: str = ""
    contents: str = ""
    product: str = ""
    bottler: str = ""
    town: str = ""
    maker: str = ""
    maker_likely: bool = False
    mark: str = ""
    made: str = ""
    age: str = ""
    lettering: tuple[str, ...] = ()
    came_up: str = ""
    lay: str = ""
    depth_m: float | None = None
    lie: str = ""
    found_with: str = ""
    treated: tuple[str, ...] = ()
    look: str = ""


def draft(facts: StoryFacts) -> str:
    """Up to four short paragraphs: the piece, its making, the seabed, the work since."""
    paragraphs = (_piece(facts), _making(facts), _seabed(facts), _work(facts))
    return "\n\n".join(" ".join(filterfalse(_empty, sentences)) for sentences in paragraphs if any(sentences))


def _piece(facts: StoryFacts) -> list[str]:
    colour = f"The glass is {facts.colour}." if facts.colour and not _says(facts.what, facts.colour) else ""
    return [f"{_what(facts)}.", colour, _trade(facts), _marked_for(facts), _read(facts)]


def _what(facts: StoryFacts) -> str:
    """Its name with an article; its first letter small, unless that word is a name or initials."""
    first = facts.what.split(" ")[0].casefold()
    names = f"{facts.product} {facts.bottler} {facts.town} {facts.maker}".casefold().split()
    small = facts.what[:2].istitle() and first not in names
    return with_article(facts.what[:1].lower() + facts.what[1:] if small else facts.what)


def with_article(words: str) -> str:
    """ "An aqua bottle", "A flask"; by the first letter, and the numbers that sound otherwise."""
    sound = re.match(r"(?i)(hour|honest|[aeio]|u(?!ni|se|ti)|8|11\b|18\b)", words)
    return f"{'An' if sound else 'A'} {words}"


def _trade(facts: StoryFacts) -> str:
    held = facts.product or facts.contents
    if facts.product and facts.contents and not _says(facts.product, facts.contents):
        held = f"{facts.product} ({facts.contents})"
    if held and facts.bottler:
        return f"It held {held}, filled by {facts.bottler}."
    if held:
        return f"It held {held}."
    return f"It was filled by {facts.bottler}." if facts.bottler else ""


def _marked_for(facts: StoryFacts) -> str:
    if not facts.town:
        return ""
    return f"It is marked for {facts.town}; the glass may have been made elsewhere."


def _read(facts: StoryFacts) -> str:
    if not facts.lettering:
        return ""
    quoted = [f"“{' '.join(text.replace('/', ' ').split())}”" for text in facts.lettering]
    return f"On it one reads {listed(quoted)}."


def _making(facts: StoryFacts) -> list[str]:
    made = made_in(facts.made)
    years = f"made {made}" if made else ""
    by = f"by {facts.maker}" if facts.maker else ""
    if not years and not by:
        return []
    sure = "It was likely made" if facts.maker_likely else "It was made"
    sentence = f"{sure} {by}" if by else f"It was {years}"
    if by and years:
        sentence += f", {made}"
    because = f"; the mark reads {facts.mark}" if facts.mark and by else ""
    age = f"That makes it {facts.age}." if facts.age and years else ""
    return [f"{sentence}{because}.", age]


def made_in(words: str) -> str:
    """The phrase of the date so that it follows "made": "in one of the years 1926, 1936 or 1946"."""
    if words in UNDATED_PHRASES or words.startswith("not dated by "):
        return ""
    sure = words.removeprefix("probably ")
    probably = "probably " if sure != words else ""
    if found := YEARS_IN.fullmatch(sure):
        return f"{probably}in one of the years {listed(found[1].split(', '), 'or')}"
    if re.fullmatch(r"\d{4}( or later)?", sure):
        return f"{probably}in {sure}"
    return probably + sure


def _seabed(facts: StoryFacts) -> list[str]:
    lay = [
        f"{facts.depth_m:g} m down" if facts.depth_m else "",
        facts.lie,
        f"in {facts.lay}" if facts.lay else "",
    ]
    where = ", ".join(filterfalse(_empty, lay))
    if where and facts.came_up:
        first = f"It lay {where}, and came up {facts.came_up}."
    else:
        first = f"It lay {where}." if where else f"It came up {facts.came_up}." if facts.came_up else ""
    beside = f"Beside it lay {facts.found_with.rstrip('.')}." if facts.found_with else ""
    return [first, beside]


def _work(facts: StoryFacts) -> list[str]:
    done = f"Since then: {', '.join(facts.treated)}." if facts.treated else ""
    return [done, "Some of its sea growth was kept." if facts.look == "growth" else ""]


def listed(words: list[str], last: str = "and") -> str:
    """ "a", "a and b", "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def _says(text: str, words: str) -> bool:
    """Whether a text has the first of these words already."""
    return words.split()[0].casefold() in text.casefold()


def _empty(text: str) -> bool:
    return not text


LIE_WORDS: dict[str, str] = {
    Specimen.Lie.UPRIGHT: "upright in the silt",
    Specimen.Lie.HALF: "half buried",
    Specimen.Lie.PROUD: "proud of the bottom",
    Specimen.Lie.BURIED: "buried",
}
# Read on it, but no words that a story wants.
NOT_QUOTED = (Inscription.Says.MARK, Inscription.Says.CODE, Inscription.Says.LEGAL)
MOST_QUOTED = 3


def story_facts(find: Specimen, *, age: str = "", treatments: Iterable[Treatment] = ()) -> StoryFacts:
    """No query where the find's dive, trade and rows are prefetched."""
    quoted = [row.text for row in find.inscriptions.all() if row.says not in NOT_QUOTED]
    mark = next(
        (letters_in_words(row.letters, row.arrangement or "") for row in find.readings.all() if row.letters),
        "",
    )
    done = sorted(treatments, key=lambda row: (row.begun, row.pk))
    return StoryFacts(
        what="bottle" if find.what == UNDESCRIBED else find.what,
        colour=_word(find.get_colour_display(), find.colour),
        contents=_word(find.get_contents_display(), find.contents),
        product=str(find.product or ""),
        bottler=str(find.bottler or ""),
        town=find.town.name if find.town else "",
        maker=find.maker.name if find.maker else "",
        maker_likely=find.maker_how == Specimen.MakerHow.LIKELY,
        mark=mark,
        made=find.made_words,
        age=age,
        lettering=tuple(quoted[:MOST_QUOTED]),
        came_up=came_up(find),
        lay=lay_in(find.where_found),
        depth_m=float(find.depth_m) if find.depth_m else None,
        lie=LIE_WORDS.get(find.lie, ""),
        found_with=find.found_with,
        treated=tuple(dict.fromkeys(row.get_method_display() for row in done)),
        look=find.look,
    )


def lay_in(site: Site | None) -> str:
    """The site as far as visitors may know it, in names alone: figures of a position are no story."""
    if site is None or site.show_as == Site.ShowAs.HIDDEN:
        return ""
    names = [site.name, site.water_body] if site.show_as == Site.ShowAs.EXACT else [site.water_body]
    return ", ".join(name for name in names if name)


def came_up(find: Specimen) -> str:
    """When, in words: the month of its dive, else what is noted without one."""
    if find.dive:
        return f"in {find.dive.date:%B %Y}"
    words = find.came_up_words
    if words.isdigit() or words.startswith("the "):
        return f"in {words}"
    first, to, last = words.partition(" to ")
    return f"between {first} and {last}" if to else words if words.startswith("about ") else ""


def _word(shown: str, stored: str) -> str:
    """A choice as it is shown; "other" tells nothing."""
    return "" if stored == "other" else str(shown)


class StoryForm(HouseForm):
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


def draft_of(find: Specimen) -> str:
    """The story that is on record of a find, by its stored years."""
    return draft(story_facts(find, treatments=find.treatments.all()))


def mark_of(story: str) -> str:
    """Tells one story from another, also in another browser."""
    return hashlib.sha256(story.encode("utf-8", "replace")).hexdigest()[:16]


@require_POST
@kept_once
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
    messages.success(request, "Its story is saved." if story else "It has no story now.")
    return redirect(find.get_absolute_url() + "#story")

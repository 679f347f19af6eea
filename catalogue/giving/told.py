"""Which sites that are not shown exactly a visitor would read of in a find's words, and the words held back.

What visitors read of a find is decided here alone, when it is read: a site may be hidden, or named so, long
after its pieces were shared. The piece stays shown, without the words that tell.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from django.db import transaction

from catalogue.photos.models import Photo
from catalogue.sites.models import Site
from catalogue.sites.queries import told_of
from catalogue.specimens.models import Specimen, ToldSite
from catalogue.specimens.models.held_back import is_held_back
from catalogue.specimens.search.held_words import hidden_sites


def is_for_visitors(find: Specimen) -> bool:
    """Whether visitors may see it, as SpecimenQuerySet.for_visitors asks the database. No query."""
    opened = find.shared or find.standing == Specimen.Standing.FREE
    return opened and not is_held_back(find.standing, find.care_flags)


def sites_told_by(find: Specimen, photos: Sequence[Photo]) -> list[str]:
    """Of one find with its pictures: by its name, story or the captions that visitors see. Two queries.

    Without those that its owner lets its words tell.
    """
    captions = [photo.caption for photo in photos if photo.opened or not photo.is_private]
    return told_of(_hidden_of([find])[find.pk], _texts(find, captions))


def sites_told_by_each(finds: Sequence[Specimen]) -> dict[int, list[str]]:
    """The same of many, by key, those alone that tell any. Three queries."""
    hidden = _hidden_of(finds)
    if not any(hidden.values()):
        return {}
    captions: dict[int, list[str]] = defaultdict(list)
    seen = Photo.objects.filter(find__in=[find.pk for find in finds]).for_visitors().exclude(caption="")
    for key, caption in seen.order_by().values_list("find_id", "caption"):
        captions[key].append(caption)
    told = {find.pk: told_of(hidden[find.pk], _texts(find, captions[find.pk])) for find in finds}
    return {key: sites for key, sites in told.items() if sites}


def finds_that_tell(site: Site) -> list[Specimen]:
    """Finds that visitors see whose words tell the name of a site not shown exactly. Four queries."""
    if site.show_as == Site.ShowAs.EXACT:
        return []
    shown = list(Specimen.objects.for_visitors().only("number", "what", "story").in_order())
    told = sites_told_by_each(shown)
    return [find for find in shown if site.name in told.get(find.pk, ())]


def hold_words_back(finds: Iterable[Specimen], photos: Iterable[Photo] = ()) -> None:
    """Take out of finds and pictures, as they were read for a visitor, each text that tells a hidden site.

    They must not be saved after it. One query, two where any site is hidden; none for no find.
    """
    finds = list(finds)
    hidden = _hidden_of(finds) if finds else {}
    for find in finds:
        names = hidden[find.pk]
        if not names:
            continue
        # A card leaves the story in the database and shows none of it.
        story = "" if "story" in find.get_deferred_fields() else find.story
        both = told_of(names, [find.what, story])
        by_each = [told_of(names, [text]) for text in (find.what, story)]
        # A name that is told by the two together only goes with both.
        if by_each[0] or (both and not any(by_each)):
            find.what = find.get_kind_display() or "find"
        if by_each[1] or (both and not any(by_each)):
            find.story = ""
    for photo in photos:
        if photo.find_id in hidden and told_of(hidden[photo.find_id], [photo.caption]):
            photo.caption = ""


@transaction.atomic
def let_it_tell(find: Specimen, names: Iterable[str], why: str) -> None:
    """From now on visitors read of these sites in the find's words; `why` is kept."""
    for site in Site.objects.filter(name__in=list(names)):
        ToldSite.objects.update_or_create(find=find, site=site, defaults={"why": why})


def told_on_purpose(find: Specimen) -> list[ToldSite]:
    """What its owner lets its words tell, of sites that are not shown exactly. One query."""
    kept = ToldSite.objects.filter(find=find, site__binned_at=None).exclude(site__show_as=Site.ShowAs.EXACT)
    return list(kept.select_related("site").order_by("pk"))


def hold_it_back(find: Specimen) -> bool:
    """Let its words tell no hidden site any more; whether they did."""
    return bool(ToldSite.objects.filter(find=find).delete()[0])


def _hidden_of(finds: Sequence[Specimen]) -> dict[int, list[str]]:
    """By find, names of the sites that its words may not tell. Two queries, one where no site is hidden."""
    sites = hidden_sites()
    allowed: set[tuple[int, int]] = set()
    if sites:
        kept = ToldSite.objects.filter(find__in=[find.pk for find in finds])
        allowed = set(kept.values_list("find_id", "site_id"))
    return {find.pk: [name for key, name in sites if (find.pk, key) not in allowed] for find in finds}


def _texts(find: Specimen, captions: Sequence[str]) -> list[str]:
    return [find.what, find.story, *captions]

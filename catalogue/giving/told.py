"""Which sites that are not shown exactly a visitor would read of in a find's words."""

from collections import defaultdict
from collections.abc import Sequence

from catalogue.photos.models import Photo
from catalogue.sites.models import Site
from catalogue.sites.queries import hidden_names, sites_told, told_of
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.held_back import is_held_back


def is_for_visitors(find: Specimen) -> bool:
    """Whether visitors may see it, as SpecimenQuerySet.for_visitors asks the database. No query."""
    opened = find.shared or find.standing == Specimen.Standing.FREE
    return opened and not is_held_back(find.standing, find.care_flags)


def sites_told_by(find: Specimen, photos: Sequence[Photo]) -> list[str]:
    """Of one find with its pictures: by its name, story or the captions that visitors see. One query."""
    captions = [photo.caption for photo in photos if photo.opened or not photo.is_private]
    return sites_told(_texts(find, captions))


def sites_told_by_each(finds: Sequence[Specimen]) -> dict[int, list[str]]:
    """The same of many, by key, those alone that tell any. Two queries."""
    names = hidden_names()
    if not names:
        return {}
    captions: dict[int, list[str]] = defaultdict(list)
    seen = Photo.objects.filter(find__in=[find.pk for find in finds]).for_visitors().exclude(caption="")
    for key, caption in seen.order_by().values_list("find_id", "caption"):
        captions[key].append(caption)
    told = {find.pk: told_of(names, _texts(find, captions[find.pk])) for find in finds}
    return {key: sites for key, sites in told.items() if sites}


def finds_that_tell(site: Site) -> list[Specimen]:
    """Finds that visitors see whose words tell the name of a site not shown exactly. Three queries."""
    if site.show_as == Site.ShowAs.EXACT:
        return []
    shown = list(Specimen.objects.for_visitors().only("number", "what", "story").in_order())
    told = sites_told_by_each(shown)
    return [find for find in shown if site.name in told.get(find.pk, ())]


def _texts(find: Specimen, captions: Sequence[str]) -> list[str]:
    return [find.what, find.story, *captions]

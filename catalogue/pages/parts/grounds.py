"""Valid time of many: the grounds of the finds that a page shows, each of the day on which it came up."""

from collections.abc import Iterable

from catalogue.sites.grounds import DayGrounds, grounds_on
from catalogue.sites.models import Permission
from catalogue.sites.queries import answers_by_site
from catalogue.specimens.came_up import days_of
from catalogue.specimens.models import Specimen


def grounds_of(find: Specimen) -> DayGrounds[Permission]:
    """No query where the permissions of its site are prefetched."""
    site = find.where_found
    return grounds_on(site.permissions.all() if site else (), days_of(find))


def grounds_by_find(finds: Iterable[Specimen]) -> dict[int, DayGrounds[Permission]]:
    """By the key of each. One query for any number of finds that have dive and site, none for no site."""
    rows = [(find, find.where_found) for find in finds]
    answers = answers_by_site({site.pk for _, site in rows if site})
    return {find.pk: grounds_on(answers[site.pk] if site else (), days_of(find)) for find, site in rows}

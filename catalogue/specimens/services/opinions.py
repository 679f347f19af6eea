"""Opinions: one current of each kind, earlier ones stay."""

from django.db import transaction

from catalogue.specimens.models import Opinion, Specimen

from .redate import redate
from .search import refresh_search


@transaction.atomic
def give_opinion(opinion: Opinion) -> Opinion:
    """Write an opinion down as the current one of its kind; the one before stays, no longer current."""
    before = Opinion.objects.filter(find=opinion.find, about=opinion.about, current=True)
    for earlier in before.select_for_update():
        earlier.current = False
        earlier.save(update_fields=["current"])
    opinion.current = True
    opinion.save()
    _follow(opinion.find)
    return opinion


@transaction.atomic
def withdraw_opinion(opinion: Opinion) -> Opinion:
    """No longer current, still on record."""
    opinion.current = False
    opinion.save(update_fields=["current"])
    _follow(opinion.find)
    return opinion


def _follow(find: Specimen) -> None:
    fresh = Specimen.everything.get(pk=find.pk)
    redate(fresh)
    refresh_search(fresh)

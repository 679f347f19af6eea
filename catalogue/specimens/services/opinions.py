"""Opinions: one current of each kind, earlier ones stay."""

from catalogue.specimens.derived.refresh import refresh_find, refreshing
from catalogue.specimens.models import Opinion, Specimen


@refreshing()
def give_opinion(opinion: Opinion) -> Opinion:
    """Write an opinion down as the current one of its kind; the one before stays, no longer current."""
    before = Opinion.objects.filter(find=opinion.find, about=opinion.about, current=True)
    for earlier in before.select_for_update():
        earlier.current = False
        earlier.save(update_fields=["current"])
    opinion.current = True
    opinion.save()
    refresh_find(Specimen.everything.get(pk=opinion.find_id))
    return opinion


@refreshing()
def withdraw_opinion(opinion: Opinion) -> Opinion:
    """No longer current, still on record."""
    opinion.current = False
    opinion.save(update_fields=["current"])
    refresh_find(Specimen.everything.get(pk=opinion.find_id))
    return opinion

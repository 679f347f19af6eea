"""What can be done with dives and sites."""

from collections.abc import Sequence
from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.utils import timezone

from catalogue.common.limits import NAME_LENGTH, a_few_words
from catalogue.common.records import hold_below
from catalogue.common.text import free_slug
from catalogue.people.models import Person

from .models import Dive, DiveSeries, Permission, Site
from .papers import keep_paper

REASON_WANTED = "Give the reason in a few words: who said so, and what they looked at."


def keep_site(site: Site) -> Site:
    """Save a site; a new one gets its address."""
    if not site.slug:
        site.slug = free_slug(Site, site.name)
    site.save()
    return site


def site_named(name: str) -> Site | None:
    """The site of that name (case ignored), made where there is none; None for a blank name."""
    name = " ".join(name.split())
    if not name:
        return None
    return Site.objects.filter(name__iexact=name).first() or keep_site(Site(name=name))


@transaction.atomic
def log_dive(
    dive: Dive,
    buddies: list[Person] | None = None,
    *,
    fields: Sequence[str] | None = None,
    ordinal: int | None = None,
) -> Dive:
    """Save a dive. A new one is given the next ordinal of its year under a lock; an old one keeps its own.

    `ordinal`: one that a person gave a new dive, which no other dive of its year has.

    `fields`: what a form changed on an old one. `buddies` None leaves them as they are.

    The year is that of the day it was first logged with: it is part of numbers on labels, so a later
    correction of the date changes neither year nor ordinal. Raises PutInBinMeanwhile where its site lies in
    the bin.
    """
    if dive.pk is None or "site" in (fields or ()):
        hold_below(dive, "site")
    if dive.pk is None:
        dive.year = dive.date.year
        dive.ordinal = hold_ordinal(dive.year, ordinal) if ordinal else _next_ordinal(dive.year)
        fields = None
    dive.save(update_fields=fields)
    if buddies is not None:
        dive.buddies.set(buddies)
    return dive


def hold_ordinal(year: int, ordinal: int) -> int:
    """Have the series of dives go on after this one, under the caller's lock."""
    DiveSeries.objects.get_or_create(year=year)
    series = DiveSeries.objects.select_for_update().get(year=year)
    if series.last < ordinal:
        series.last = ordinal
        series.save(update_fields=["last"])
    return ordinal


def _next_ordinal(year: int) -> int:
    DiveSeries.objects.get_or_create(year=year)
    series = DiveSeries.objects.select_for_update().get(year=year)
    series.last += 1
    series.save(update_fields=["last"])
    return series.last


@transaction.atomic
def keep_permission(
    permission: Permission,
    *,
    paper: "UploadedFile[Any] | None" = None,
    drop_paper: bool = False,
    fields: Sequence[str] | None = None,
) -> Permission:
    """Save an answer, its letter or permit first on disk. `fields`: what a form changed on an old one.

    A paper that is taken off or replaced stays on disk: an earlier state of the record speaks of it.
    Raises OSError where the disk doesn't take it, ValueError for a file that is no paper.
    """
    changed = set(fields or ())
    if paper:
        permission.file = keep_paper(paper)
        permission.file_came_as = _plain_name(paper.name or "")
    elif drop_paper:
        permission.file, permission.file_came_as = "", ""
    if paper or drop_paper:
        changed |= {"file", "file_came_as"}
    permission.save(update_fields=changed if permission.pk else None)
    return permission


def _plain_name(name: str) -> str:
    """A file's name without its folders, and without what can't be printed."""
    last = name.replace("\\", "/").rsplit("/", 1)[-1]
    return "".join(letter for letter in last if letter.isprintable())[-NAME_LENGTH:]


HOLD_COLUMNS = ("hold_cleared_reason", "hold_cleared_by", "hold_cleared_on")


@transaction.atomic
def clear_hold(site: Site, reason: str, person: Person | None) -> None:
    """A person's decision that work on this site's finds may go on.

    Raises ValueError without a reason of a few words, or without the person who cleared it.
    """
    if not a_few_words(reason):
        raise ValueError(REASON_WANTED)
    if person is None:
        raise ValueError("Say who cleared it.")
    site.hold_cleared_reason = reason.strip()
    site.hold_cleared_by = person
    site.hold_cleared_on = timezone.localdate()
    site.save(update_fields=HOLD_COLUMNS)


@transaction.atomic
def set_hold_again(site: Site) -> None:
    """Acid, tumbling and giving away wait once more; who cleared the hold, and why, stays in its history."""
    _forget_clearing(site)
    site.save(update_fields=HOLD_COLUMNS)


@transaction.atomic
def change_site(site: Site, fields: Sequence[str]) -> bool:
    """Save these columns of a site; answers whether that set a hold again.

    A hold was cleared for what was known then: a wreck or a military link that is noted anew sets it again.
    """
    noted = [name for name in ("wreck", "military") if name in fields]
    again = bool(site.hold_cleared_reason) and Site.Known.YES in (getattr(site, name) for name in noted)
    if again:
        _forget_clearing(site)
    site.save(update_fields=[*fields, *(HOLD_COLUMNS if again else ())])
    return again


def _forget_clearing(site: Site) -> None:
    site.hold_cleared_reason, site.hold_cleared_by, site.hold_cleared_on = "", None, None

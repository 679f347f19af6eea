"""Undo an import as one step: new finds go into the bin, changed ones are as before; what was changed since
stays as it is, and is named."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.db.models import Model
from django.utils import timezone

from catalogue.common.records import PutInBinMeanwhile, StillNeeded, hold_below
from catalogue.exchange.backup.running import WorkRefused
from catalogue.exchange.models import TakeIn
from catalogue.giving.batch import SetStanding, ShareFinds
from catalogue.photos.models import Photo
from catalogue.shelves.models import Place
from catalogue.specimens.derived.batches import batches_of
from catalogue.specimens.derived.refresh import refresh_now, refreshing
from catalogue.specimens.models import Opinion, Specimen
from catalogue.specimens.services import ChangedSince, Parts, keep_find, move_to, take_opinion_back

from .permitted import objection_words
from .rows_made import MADE_KINDS
from .state_before import PART_MODELS, stamps_of

CHANGED_SINCE = "it was changed again since"
_COLUMNS = {column.attname: column for column in Specimen._meta.concrete_fields}


class TakeInNotUndone(WorkRefused):
    """It was undone already, or nothing of it can be; nothing was changed."""


@dataclass(slots=True)
class TakeInUndone:
    """How many finds are gone into the bin and as before, and which are left, with the reason."""

    new: int = 0
    changed: int = 0
    left: list[tuple[str, str]] = field(default_factory=list)

    @property
    def words(self) -> str:
        """All of it in sentences."""
        said = f"Undone: {self.new:,} new finds lie in the bin, {self.changed:,} are as they were before."
        by_reason: dict[str, list[str]] = {}
        for number, why in self.left:
            by_reason.setdefault(why, []).append(number)
        for why, numbers in by_reason.items():
            more = f" and {len(numbers) - 6} more" if len(numbers) > 6 else ""
            said += f" Not undone: {', '.join(numbers[:6])}{more}, as {why}."
        return said


@refreshing()
def undo_take_in(key: int) -> TakeInUndone:
    """Take it back, in one transaction. Raises TakeInNotUndone."""
    take_in = TakeIn.objects.select_for_update().get(pk=key)
    if take_in.done_at is None or take_in.undone_at is not None:
        raise TakeInNotUndone("Nothing was undone: there is nothing of it to undo any more.")
    undone = TakeInUndone()
    _photos_back(take_in.changed["photos"])
    new = {int(pk): stamp for pk, stamp in take_in.changed["new"]}
    changed = {int(pk): (before, stamp) for pk, before, stamp in take_in.changed["changed"]}
    _new_back(new, take_in.done_at, undone)
    _changed_back(changed, undone)
    if not undone.new and not undone.changed:
        why = f"{undone.left[0][0]}, as {undone.left[0][1]}" if undone.left else "nothing of it is left"
        raise TakeInNotUndone(f"Nothing was undone: {why}.")
    refresh_now()
    _made_back(take_in.changed["made"], take_in.done_at)
    stay = {number for number, _ in undone.left}
    take_in.taken.exclude(find__number__in=stay).delete()
    take_in.undone_at = timezone.now()
    take_in.save(update_fields=["undone_at"])
    return undone


def _photos_back(photos: Sequence[Sequence[int]]) -> None:
    keys = [pk for _, pk in photos]
    for part in batches_of(keys):
        for photo in Photo.objects.filter(pk__in=part):
            photo.put_in_bin()


def _new_back(stamps: Mapping[int, str], done_at: datetime, undone: TakeInUndone) -> None:
    for part in batches_of(list(stamps)):
        now, touched = stamps_of(part), _used_since(Specimen, part, done_at)
        finds = Specimen.everything.select_for_update(of=("self",)).filter(pk__in=part)
        for find in finds.order_by("pk"):
            if find.binned_at:
                undone.left.append((find.number, "it lies in the bin already"))
            elif now[find.pk] != stamps[find.pk] or find.pk in touched:
                undone.left.append((find.number, CHANGED_SINCE))
            else:
                find.put_in_bin()
                undone.new += 1


def _used_since(model: type[Model], keys: Iterable[int], done_at: datetime) -> set[int]:
    """Keys of rows that others have come to point at since: pictures, baths, promises, parts."""
    keys = list(keys)
    used: set[int] = set()
    for relation in model._meta.related_objects:
        names = {column.name for column in relation.related_model._meta.concrete_fields}
        if "created" in names and relation.field.concrete and not relation.many_to_many:
            rows = relation.related_model._base_manager.filter(
                **{f"{relation.field.name}__in": keys, "created__gt": done_at}
            )
            used |= set(rows.values_list(f"{relation.field.name}_id", flat=True))
    return used


def _changed_back(changed: Mapping[int, tuple[dict[str, Any], str]], undone: TakeInUndone) -> None:
    for part in batches_of(list(changed)):
        now = stamps_of(part)
        finds = Specimen.everything.select_for_update(of=("self",)).filter(pk__in=part)
        for find in finds.select_related("dive__site", "site").order_by("pk"):
            before, stamp = changed[find.pk]
            why = "it lies in the bin" if find.binned_at else CHANGED_SINCE if now[find.pk] != stamp else ""
            why = why or _not_shown_again(find, before["columns"])
            if not why:
                try:
                    _as_before(find, before)
                except (ChangedSince, PutInBinMeanwhile):
                    why = "what it rested on is no longer there"
            if why:
                undone.left.append((find.number, why))
            else:
                undone.changed += 1


def _not_shown_again(find: Specimen, columns: Mapping[str, Any]) -> str:
    """Why it can't be shown or given again without being asked; empty where nothing stands against it."""
    if columns.get("shared") and not find.shared:
        return objection_words(ShareFinds().objections([find]), find.pk)
    standing = columns.get("standing")
    if standing and standing != find.standing:
        return objection_words(SetStanding(standing).objections([find]), find.pk)
    return ""


def _as_before(find: Specimen, before: Mapping[str, Any]) -> None:
    columns = dict(before["columns"])
    if "place_id" in columns:
        key = columns.pop("place_id")
        found = Place.objects.filter(pk=key).first() if key else None
        move_to(find, found, "undone: taken in from a spreadsheet")
    for name, value in columns.items():
        setattr(find, name, _COLUMNS[name].to_python(value))
    resting = [name.removesuffix("_id") for name in ("dive_id", "site_id") if name in columns]
    hold_below(find, *resting)
    parts = {name: [PART_MODELS[name](**row) for row in rows] for name, rows in before["parts"].items()}
    fields = [name.removesuffix("_id") if name.endswith("_id") else name for name in columns]
    keep_find(find, Parts(**parts), fields=fields, at_once=False)
    for about, earlier in before["opinions"].items():
        given = Opinion.objects.filter(find=find, about=about, current=True).first()
        if given is not None:
            take_opinion_back(find, given.pk, earlier)


def _made_back(made: Mapping[str, Sequence[int]], done_at: datetime) -> None:
    """Put into the bin what was made for these finds alone, and nobody uses or changed since."""
    for kind, model in MADE_KINDS.items():
        manager: Any = model._default_manager
        for row in manager.filter(pk__in=made.get(kind, [])).order_by("-pk"):
            if not _in_use(row) and row.changed <= done_at:
                try:
                    row.put_in_bin()
                except StillNeeded:
                    continue


def _in_use(row: Any) -> bool:
    """Whether a live row points at it."""
    for relation in row._meta.related_objects:
        model, name = relation.related_model, relation.field.name
        if not relation.field.concrete or model._meta.model_name.startswith("historical"):
            continue
        manager = getattr(model, "objects", model._default_manager)
        if manager.filter(**{name: row.pk}).exists():
            return True
    return False

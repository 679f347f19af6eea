"""Merging two records of one thing: what points at either points at the one kept; undone as one step.

Whatever points at a row is found by the models' own relations, and what may be there only once by their
unique constraints, so that a new foreign key needs nothing here.
"""

from collections.abc import Iterable, Iterator
from copy import copy
from typing import Any, Final

from django.apps import apps
from django.db import IntegrityError, models, transaction
from django.db.models import Q, UniqueConstraint
from django.utils import timezone

from .history_entries import note_history
from .merged import alike_when_merged, merged_into, model_of
from .models import Merge
from .records import Record, StillNeeded

NOTHING_MOVED: Final = "Nothing was moved."
# Rows moved at once: a database takes only so many values in one statement.
MOVED_AT_ONCE: Final = 500
# Between the words of the one kept and those added to them, by column.
BETWEEN: Final = {"notes": "\n\n", "source": "; "}


class MergeError(ValueError):
    """These can't be merged, or not be parted again; the message says why. Nothing is changed."""


def what_moves(kept: Record, gone: Record) -> list[tuple[str, int]]:
    """Names of kinds of rows, and how many of each would move, without the bin's. Raises MergeError."""
    _may_be_merged(kept, gone)
    counts: dict[str, int] = {}
    for model, column in _pointing_at(type(gone), derived=True):
        # A table between two is called by its other end: a dive that somebody was on.
        other = next((end for end in _ends(model) if end.name != column), None)
        between = other if model._meta.auto_created else None
        live = {f"{between.name}__binned_at": None} if between else {}
        if count := model._default_manager.filter(**{column: gone.pk}, **live).count():
            named = between.related_model if between else model
            words = named._meta.verbose_name if count == 1 else named._meta.verbose_name_plural
            counts[str(words)] = counts.get(str(words), 0) + count
    return list(counts.items())


def takes_over(kept: Record, gone: Record) -> list[str]:
    """In words what the one kept would take over of the other, as it does not say it itself."""
    filled, added = _take_over(copy(kept), gone)
    columns = {column.name: column for column in kept._meta.concrete_fields}
    return [str(columns[name].verbose_name) for name in (*filled, *added)]


@transaction.atomic
def merge(kept: Record, gone: Record) -> Merge:
    """Move everything from one record to the other, put the emptied one in the bin, note how to undo it.

    Rows that both have and that may be there only once become one. Raises MergeError.
    """
    kept, gone = _locked(kept, gone)
    _may_be_merged(kept, gone)
    try:
        with transaction.atomic():
            return _merge(kept, gone, None)
    except IntegrityError as error:
        raise MergeError(
            f"Something of {gone} can't stand beside what {kept} has. {NOTHING_MOVED}"
        ) from error


@transaction.atomic
def undo_merge(made: Merge) -> Record:
    """The merged record as it was, with what moved by it, but for rows that were moved elsewhere since.

    Raises MergeError where it was undone before, where the one kept was merged itself meanwhile, or where
    something speaks against it (`Record.why_not_back`), such as its name that was taken since.
    """
    made = Merge.objects.select_for_update(of=("self",)).get(pk=made.pk)
    if made.undone_at:
        raise MergeError("That was undone already.")
    if made.part_of_id:
        raise MergeError("That came about by another merge: undo that one.")
    whole = [*made.parts.order_by("-pk"), made]
    kinds = [model_of(each.kind) for each in whole]
    for each, model in zip(whole, kinds, strict=True):
        kept = model.everything.get(pk=each.kept)
        if into := merged_into(kept):
            raise MergeError(f"{kept} was merged into {into} meanwhile: undo that first.")
        if why := kept.why_not_parted():
            raise MergeError(why)
    try:
        with transaction.atomic():
            for each, model in zip(whole, kinds, strict=True):
                _undo(each, model)
    except StillNeeded as why:
        raise MergeError(str(why)) from why
    except IntegrityError as error:
        raise MergeError("Another has taken its place meanwhile: rename that one first.") from error
    return model_of(made.kind).everything.get(pk=made.gone)


def _locked(kept: Record, gone: Record) -> tuple[Any, Any]:
    """Both, locked in one order, so that of two merges at once the second finds the first one done."""
    rows = type(kept).everything.select_for_update(of=("self",))
    locked = {row.pk: row for row in rows.filter(pk__in=[kept.pk, gone.pk]).order_by("pk")}
    if kept.pk not in locked or gone.pk not in locked:
        raise MergeError(f"One of the two is not there any more. {NOTHING_MOVED}")
    return locked[kept.pk], locked[gone.pk]


def _may_be_merged(kept: Record, gone: Record) -> None:
    if kept.pk == gone.pk:
        raise MergeError(f"{kept} can't be merged into itself: choose another.")
    for row in (kept, gone):
        if row.binned_at:
            raise MergeError(f"{row} is in the bin, or was merged meanwhile. {NOTHING_MOVED}")
    if why := kept.why_not_merged(gone):
        raise MergeError(why)


def _merge(kept: Record, gone: Record, part_of: Merge | None) -> Merge:
    made = Merge.objects.create(kind=str(gone._meta.model_name), gone=gone.pk, kept=kept.pk, part_of=part_of)
    for model, column in _pointing_at(type(gone)):
        _move(model, column, kept, gone, made)
    # First out of sight: the one kept may take its name's place.
    gone.put_in_bin()
    made.filled, made.added = _take_over(kept, gone)
    if made.filled or made.added:
        kept.save(update_fields=[*made.filled, *made.added])
    made.save()
    return made


def _move(model: Any, column: str, kept: Record, gone: Record, made: Merge) -> None:
    """Point the rows that point at `gone` by this column at `kept`. Raises MergeError."""
    stays = []
    for row, twin in _twins(model, column, kept, gone):
        stays.append(row.pk)
        if isinstance(row, Record):
            # One in the bin stays where it is: it may never come back.
            if row.binned_at:
                continue
            if twin.binned_at:
                raise MergeError(f"{twin} of {kept} is in the bin and bears the same name. {NOTHING_MOVED}")
            _merge(twin, row, made.part_of or made)
        elif model._meta.auto_created:
            ends = {end.attname: getattr(row, end.attname) for end in _ends(model)}
            made.dropped.append((model._meta.label, ends))
            row.delete()
        else:
            raise MergeError(f"{gone} and {kept} both have {row}. {NOTHING_MOVED}")
    rows = _whole(model).filter(**{column: gone.pk}).exclude(pk__in=stays)
    keys = list(rows.order_by("pk").values_list("pk", flat=True))
    if keys:
        _point(model, keys, column, kept.pk)
        made.moved.append((model._meta.label, column, gone.pk, kept.pk, keys))


def _twins(model: Any, column: str, kept: Record, gone: Record) -> Iterator[tuple[Any, Any]]:
    """Rows of `gone` beside which `kept` has one that may be there only once, each with that one."""
    seen = set()
    for fields, condition in _once(model, column):
        beside = [model._meta.get_field(name).attname for name in fields if name != column]
        rows = _whole(model).filter(condition)
        theirs = {
            tuple(getattr(row, name) for name in beside): row for row in rows.filter(**{column: kept.pk})
        }
        for row in rows.filter(**{column: gone.pk}).order_by("pk") if theirs else ():
            values = tuple(getattr(row, name) for name in beside)
            if values in theirs and None not in values and row.pk not in seen:
                seen.add(row.pk)
                yield row, theirs[values]


def _once(model: Any, column: str) -> Iterator[tuple[Iterable[str], Q]]:
    """The groups of columns, this one among them, that may be there only once, and among which rows."""
    for constraint in model._meta.constraints:
        if isinstance(constraint, UniqueConstraint) and column in constraint.fields:
            yield constraint.fields, constraint.condition or Q()
    for fields in model._meta.unique_together:
        if column in fields:
            yield fields, Q()
    if model._meta.get_field(column).unique:
        yield [column], Q()


def _take_over(kept: Record, gone: Record) -> tuple[list[str], list[str]]:
    """Take what the one kept does not say itself, unsaved; columns that were blank, and those added to."""
    filled: list[str] = []
    added: list[str] = []
    for group, along in kept.TAKES.items():
        if all(_blank(kept, name) for name in group) and not all(_blank(gone, name) for name in group):
            filled += [name for name in group if not _blank(gone, name)]
            for name in along:
                if name in BETWEEN:
                    _add(kept, gone, name, filled, added)
                elif getattr(kept, name) != getattr(gone, name):
                    filled.append(name)
    for name in kept.ADDS:
        _add(kept, gone, name, filled, added)
    for name in filled:
        setattr(kept, name, getattr(gone, name))
    return filled, added


def _add(kept: Record, gone: Record, name: str, filled: list[str], added: list[str]) -> None:
    """The words of a column added to those of the one kept; what has no room stays with the other."""
    words, more = str(getattr(kept, name)), str(getattr(gone, name))
    if more and not words:
        filled.append(name)
    elif more and more not in words:
        both = words + BETWEEN[name] + more
        column: Any = kept._meta.get_field(name)
        if len(both) <= column.max_length:
            added.append(name)
            setattr(kept, name, both)


def _undo(made: Merge, model: type[Record]) -> None:
    kept, gone = model.everything.get(pk=made.kept), model.everything.get(pk=made.gone)
    _give_back(kept, gone, made)
    gone.take_out_of_bin(kept if alike_when_merged(made, kept, gone) else None)
    for label, key in made.doubled:
        apps.get_model(label)._base_manager.get(pk=key).take_out_of_bin()
    for label, column, back, there, keys in reversed(made.moved):
        model = apps.get_model(label)
        still = _whole(model).filter(pk__in=keys, **{column: there})
        _point(model, list(still.order_by("pk").values_list("pk", flat=True)), column, back)
    for label, ends in made.dropped:
        between = apps.get_model(label)
        if all(_is_there(between, end, ends[end.attname]) for end in _ends(between)):
            between._base_manager.get_or_create(**ends)
    made.undone_at = timezone.now()
    made.save(update_fields=["undone_at"])


def _give_back(kept: Record, gone: Record, made: Merge) -> None:
    """What the one kept took over and still says goes again."""
    changed = []
    columns = {column.name: column for column in kept._meta.concrete_fields}
    for name in made.filled:
        if getattr(kept, name) == getattr(gone, name):
            setattr(kept, name, columns[name].get_default())
            changed.append(name)
    for name in made.added:
        words, more = getattr(kept, name), BETWEEN[name] + getattr(gone, name)
        if words.endswith(more):
            setattr(kept, name, words.removesuffix(more))
            changed.append(name)
    if changed:
        kept.save(update_fields=changed)


def _blank(row: Record, name: str) -> bool:
    return getattr(row, name) in (None, "")


def _pointing_at(model: type[Record], *, derived: bool = False) -> Iterator[tuple[Any, str]]:
    """Every model and column by which rows point at rows of this one, those without a name of the way back
    too. Not histories, whose keys are no references; columns that are worked out only where asked for.
    """
    for relation in model._meta.get_fields(include_hidden=True):
        column: Any = getattr(relation, "field", None)
        if relation.concrete or not isinstance(column, models.ForeignKey):
            continue
        if not getattr(column, "db_constraint", True):
            continue
        holder = column.model
        if derived or column.name not in getattr(holder, "DERIVED", ()):
            yield holder, column.name


def _ends(between: Any) -> list[Any]:
    """The two columns of a table between."""
    return [field for field in between._meta.concrete_fields if isinstance(field, models.ForeignKey)]


def _is_there(between: Any, end: Any, key: int) -> bool:
    return bool(end.related_model._base_manager.filter(pk=key).exists())


def _point(model: Any, keys: list[int], column: str, to: int) -> None:
    """Rows point at another record now; where they have a history, it says so."""
    for first in range(0, len(keys), MOVED_AT_ONCE):
        part = keys[first : first + MOVED_AT_ONCE]
        _whole(model).filter(pk__in=part).update(**{column: to}, **_moved_now(model))
        if hasattr(model, "history"):
            note_history(model, part)


def _moved_now(model: Any) -> dict[str, Any]:
    """What is remembered of a record by its time of change (the joined tables are) has to be read anew."""
    return {"changed": timezone.now()} if issubclass(model, Record) else {}


def _whole(model: Any) -> Any:
    return getattr(model, "everything", model._base_manager)

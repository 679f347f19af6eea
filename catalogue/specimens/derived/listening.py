"""The signals by which `refresh.py` is told of each write, whichever way it is written."""

from collections.abc import Callable
from typing import Any, cast

from django.db.models import Model, Q, QuerySet
from django.db.models.signals import m2m_changed, post_delete, post_save, pre_delete
from django.utils import timezone

from catalogue.common.records import follow_updates
from catalogue.specimens.models import Maker, OwnCode, Specimen

from .refresh import finds_of, note, note_finds
from .rules import ITSELF, Dependency, Feeds, sources_of, watched
from .writer import write_columns

NO_MAKER = {"maker": None, "maker_how": "", "maker_probability": None}


def listen() -> None:
    """Connect once, when the application is ready."""
    for model in watched():
        name = f"derived columns of {model.__name__}"
        post_save.connect(_saved, sender=model, dispatch_uid=name)
        pre_delete.connect(_will_go, sender=model, dispatch_uid=name)
        post_delete.connect(_gone, sender=model, dispatch_uid=name)
        follow_updates(model, _will_be_updated)
    m2m_changed.connect(_marks_chosen, sender=OwnCode.marks.through, dispatch_uid="marks of a code")


def _saved(instance: Model, created: bool, raw: bool, update_fields: frozenset[str] | None, **_: Any) -> None:
    # A row loaded from a file comes with what was stored; nothing leads yet to a row that is new.
    if raw or (created and not any(source.of_one_find or not source.lookups for source in _rules(instance))):
        return
    note(instance, update_fields)


def _will_go(instance: Model, origin: Any = None, **_: Any) -> None:
    """Before its keys are taken out of the finds: which of them have to follow."""
    if _goes_with_its_find(instance, origin):
        return
    lookups = {lookup for source in _rules(instance) for lookup in source.lookups}
    keys = finds_of(instance, tuple(sorted(lookups)))
    if isinstance(instance, Maker):
        # All three in one statement: they have to agree at every moment.
        shown = Specimen.everything.filter(maker=instance).values_list("pk", flat=True)
        write_columns([(pk, NO_MAKER) for pk in shown])
    instance.__dict__["finds_to_follow"] = keys


def _gone(instance: Model, origin: Any = None, **_: Any) -> None:
    if not _goes_with_its_find(instance, origin):
        note(instance, gone=instance.__dict__.pop("finds_to_follow", ()))


def _goes_with_its_find(row: Model, origin: Any) -> bool:
    """A find deleted for good takes its parts along: nothing is left to follow."""
    deleted = origin.model if isinstance(origin, QuerySet) else type(origin)
    return isinstance(row, Specimen) or deleted is Specimen


def _will_be_updated(rows: QuerySet[Any], columns: frozenset[str]) -> Callable[[], None] | None:
    """Before many are updated at once: what to do afterwards, if anything follows from these columns."""
    rules = [source for source in sources_of(cast(type[Model], rows.model)) if source.fed_by(columns)]
    feeds: dict[bool, dict[Feeds, set[int]]] = {True: {}, False: {}}
    for source in rules:
        # Marks and codes are watched by the stamp of the tables.
        if source.feeds is Feeds.TABLES:
            continue
        feeds[source.of_one_find].setdefault(source.feeds, set()).update(_led_to(rows, source.lookups))
    if not any(feeds.values()):
        return None

    def follow() -> None:
        for touched, fed in feeds.items():
            for what, keys in fed.items():
                note_finds(keys, what, touched=touched)

    return follow


def _led_to(rows: QuerySet[Any], lookups: tuple[str, ...]) -> set[int]:
    keys = list(rows.order_by().values_list("pk", flat=True))
    if lookups == ITSELF:
        return set(keys)
    found: set[int] = set()
    for start in range(0, len(keys), 500):
        led = Q(*((f"{lookup}__in", keys[start : start + 500]) for lookup in lookups), _connector=Q.OR)
        found.update(Specimen.everything.filter(led).values_list("pk", flat=True))
    return found


def _marks_chosen(instance: Model, action: str, reverse: bool, **_: Any) -> None:
    """For which marks a code holds is no column of its own: its time of change tells of it."""
    if action.startswith("post_") and isinstance(instance, OwnCode) and not reverse:
        OwnCode.everything.filter(pk=instance.pk).update(changed=timezone.now())
        note(instance)


def _rules(row: Model) -> tuple[Dependency, ...]:
    return sources_of(type(row))

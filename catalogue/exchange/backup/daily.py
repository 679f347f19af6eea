"""The backup of each day, made in the background while the catalogue is open, and how safe it all is."""

import threading
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from pathlib import Path

from django.utils import timezone

from catalogue.exchange.backup import running
from catalogue.exchange.backup.copying import Progress
from catalogue.exchange.backup.day_folder import days_in
from catalogue.exchange.backup.days import StoreCheck, back_up_day, check_store, refusal
from catalogue.exchange.backup.write import note_made
from catalogue.exchange.models import BackupPlan, BackupRun

# Our own choices: pages come first; a day is over after twenty hours, so that an evening's work is in it.
FIRST_BACKUP_AFTER_S = 90.0
ASK_EVERY_S = 900.0
BACKUP_DAY = timedelta(hours=20)
WEEK = timedelta(days=7)
# From here on Home says that the last good backup is old.
OLD_AFTER = timedelta(days=8)


class Safety(StrEnum):
    """How safe the catalogue is, worst first."""

    NOT_CHOSEN = "not chosen"
    DISK_MISSING = "disk missing"
    AMISS = "amiss"
    NEVER = "never"
    OLD = "old"
    GOOD = "good"


@dataclass(frozen=True, slots=True)
class BackupState:
    """How the backups stand: the worst that can be said, since when, and by what plan."""

    safety: Safety
    last: BackupRun | None
    plan: BackupPlan

    @property
    def place(self) -> str:
        """Where they go; empty where nothing was chosen."""
        return self.plan.place

    @property
    def trouble(self) -> str:
        """What is amiss, in a sentence."""
        return self.plan.found_amiss or self.plan.trouble


def state(now: datetime | None = None) -> BackupState:
    """How the backups stand; two queries and a look at the disk."""
    plan, last = BackupPlan.current(), BackupRun.objects.order_by("-at", "-pk").first()
    now = now or timezone.now()
    # A clock that once stood in the future must not make an old backup a fresh one.
    is_old = last is not None and not (now - OLD_AFTER <= last.at <= now + BACKUP_DAY)
    if not plan.place:
        safety = Safety.NOT_CHOSEN
    elif refusal(Path(plan.place)):
        safety = Safety.DISK_MISSING
    elif plan.found_amiss:
        safety = Safety.AMISS
    elif last is None:
        safety = Safety.NEVER
    else:
        safety = Safety.OLD if is_old else Safety.GOOD
    return BackupState(safety, last, plan)


def make_day(progress: Progress, stop: threading.Event) -> str:
    """Today's backup to the chosen folder, noted when it is whole. Raises BackupError."""
    plan = BackupPlan.current()
    written = back_up_day(Path(plan.place), keep=plan.keep_days, progress=progress, stop=stop)
    lacks = note_made(written, BackupRun.Kind.DAY)
    said = f"A backup of {written.contents.finds} finds is whole."
    return f"{said} {lacks} original pictures are missing or damaged on this disk." if lacks else said


def look_through(progress: Progress, stop: threading.Event) -> str:
    """Read every byte of the store and compare it with its digest, and note what was found."""
    plan = BackupPlan.current()
    try:
        found = check_store(Path(plan.place), thoroughly=True, stop=stop)
    except OSError as error:
        return _note(plan, f"The backups can't be read ({error.strerror}).", whole=False)
    if stop.is_set():
        return "The look was ended before all was read."
    if found.sound:
        return _note(plan, "", whole=True) or f"All {found.looked_at} pictures and papers in it are whole."
    return _note(plan, _amiss(found), whole=True)


def _amiss(found: StoreCheck) -> str:
    first = (found.missing or found.damaged)[0].rsplit("/", 1)[-1]
    return (
        f"In the backups {len(found.missing)} files are missing and {len(found.damaged)} damaged "
        f"(first: {first}). Make a backup to another disk."
    )


def _note(plan: BackupPlan, amiss: str, *, whole: bool) -> str:
    plan.found_amiss = amiss
    if whole:
        plan.looked_through_at = timezone.now()
    plan.save()
    return amiss


def is_due(plan: BackupPlan, now: datetime) -> bool:
    """Whether today's backup is still to be made: none yet, or the last one in this folder is a day old."""
    if not plan.place or refusal(Path(plan.place)):
        return False
    last = BackupRun.objects.filter(kind=BackupRun.Kind.DAY).order_by("-at", "-pk").first()
    if last is None or not days_in(Path(plan.place)):
        return True
    return not (now - BACKUP_DAY <= last.at <= now + BACKUP_DAY)


def keep_daily(stop: threading.Event) -> None:
    """The background work: a backup a day, a look at names and sizes after it, every byte once a week."""
    wait = FIRST_BACKUP_AFTER_S
    while not stop.wait(wait):
        wait = ASK_EVERY_S
        plan, now = BackupPlan.current(), timezone.now()
        if not is_due(plan, now):
            continue
        task = running.run_here("Today's backup", make_day, stop)
        if task is None:
            continue
        plan = BackupPlan.current()
        plan.tried_at, plan.trouble = now, task.trouble
        plan.save()
        if task.trouble:
            continue
        if plan.looked_through_at is None or not (now - WEEK <= plan.looked_through_at <= now + BACKUP_DAY):
            running.run_here("Looking through the backups", look_through, stop)
        elif not (found := check_store(Path(plan.place), thoroughly=False, stop=stop)).sound:
            _note(plan, _amiss(found), whole=False)

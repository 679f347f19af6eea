"""The dry run and the writing of a large sheet as one task beside the pages, with its progress."""

from django.db import IntegrityError

from catalogue.common.forms.idempotency_key import in_turn_of_forms
from catalogue.exchange.backup.copying import Progress
from catalogue.exchange.backup.running import Stop, Work
from catalogue.exchange.models import TakeIn

from .dry_run import run_dry
from .write_rows import TakeInRefused, write_take_in

CHANGED_BENEATH = (
    "Nothing was taken in: what some rows rest on was changed or deleted at the same moment. Look at the "
    "rows anew."
)
STOPPED = "It was stopped: nothing was taken in."


def dry_run_work(key: int) -> Work:
    """Judge every row of a sheet."""

    def work(progress: Progress, stop: Stop) -> str:
        take_in = TakeIn.objects.get(pk=key)
        run_dry(take_in, _told(progress, stop))
        return f"All {take_in.row_count:,} rows of {take_in.name} were looked at."

    return work


def write_work(key: int, *, only_good: bool, shown: str) -> Work:
    """Write a sheet; stopped or broken, it leaves nothing."""

    def work(progress: Progress, stop: Stop) -> str:
        told = _told(progress, stop)
        try:
            with in_turn_of_forms():
                return write_take_in(key, only_good=only_good, shown=shown, step=told).words
        except IntegrityError:
            raise TakeInRefused(CHANGED_BENEATH) from None

    return work


def _told(progress: Progress, stop: Stop) -> Progress:
    def step(done: int, total: int) -> None:
        if stop.is_set():
            raise TakeInRefused(STOPPED)
        progress(done, total)

    return step

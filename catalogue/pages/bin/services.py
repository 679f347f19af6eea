"""Emptying the bin on purpose."""

from django.db import models, transaction
from django.db.models import ProtectedError


@transaction.atomic
def delete_for_good(record: models.Model) -> None:
    """Delete one record that lies in the bin. Raises ValueError where others need it, or it isn't there.

    A find's number stays used: its series only grows.
    """
    if record.binned_at is None:
        raise ValueError("Put it in the bin first.")
    try:
        record.delete()
    except ProtectedError as error:
        named = sorted({str(obj) for obj in error.protected_objects})
        more = f" and {len(named) - 3} more" if len(named) > 3 else ""
        raise ValueError(f"{record} is still needed by {', '.join(named[:3])}{more}.") from error

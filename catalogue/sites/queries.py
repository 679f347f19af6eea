"""Questions about sites that more than one page asks."""

from datetime import date

from django.utils import timezone

from .models import Permission, Site


def permission_now(site: Site, day: date | None = None) -> Permission | None:
    """The answer on record that holds on that day (today), if there is one. Uses prefetched permissions."""
    day = day or timezone.localdate()
    for permission in site.permissions.all():
        begun = permission.valid_from is None or permission.valid_from <= day
        over = permission.valid_to is not None and permission.valid_to < day
        binned = permission.binned_at is not None
        if begun and not over and not binned and permission.basis != Permission.Basis.NOT_ASKED:
            return permission
    return None

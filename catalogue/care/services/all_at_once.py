"""All pieces of a bath or a soak at once: out by one tap, and back (undo) after a wrong one."""

from collections.abc import Sequence

from django.db import transaction

from catalogue.care.models import Bath, BathMember, Soak, SoakMember
from catalogue.care.services.baths import take_out_of_bath
from catalogue.care.services.corrections import put_back_in_bath, put_back_in_soak


@transaction.atomic
def take_all_out_of_bath(bath: Bath, outcome: str) -> list[BathMember]:
    """Take out every piece that is in, as much growth left on each; gives those that came out just now.

    Raises NotNow, with none taken out, ValueError for a word that is no outcome.
    """
    inside = bath.members.filter(in_at__isnull=False, out_at=None).select_related("bath", "find")
    return [member for member in inside if take_out_of_bath(member, outcome)[1]]


@transaction.atomic
def put_all_back_in_bath(bath: Bath, keys: Sequence[int]) -> list[BathMember]:
    """Those pieces of a bath that are out are in it as before, all or none. Raises NotNow."""
    return [put_back_in_bath(member) for member in bath.members.filter(pk__in=keys, out_at__isnull=False)]


@transaction.atomic
def put_all_back_in_soak(soak: Soak, keys: Sequence[int]) -> list[SoakMember]:
    """Those pieces of a soak that are out are in it as before, all or none. Raises SoakRefused."""
    return [put_back_in_soak(member) for member in soak.members.filter(pk__in=keys, out_at__isnull=False)]

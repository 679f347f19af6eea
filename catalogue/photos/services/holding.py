"""Pictures kept while the form they belong to is still being filled in."""

from collections.abc import Iterable, Mapping

from django.db import transaction
from django.db.models import Model

from catalogue.photos.models import HeldPicture, Photo

from .results import Failed, Results
from .storing import Source, store
from .taking import file_under

NO_LONGER = "A picture chosen earlier is no longer kept: add it again."


def hold(upload: Source, *, holder: str, role: str = Photo.Role.DETAIL) -> HeldPicture:
    """Keep a picture for the session `holder` until it is claimed. Raises PictureRefused.

    The same picture sent again by the same session is the one already held.
    """
    facts = store(upload)
    held, _ = HeldPicture.objects.get_or_create(
        holder=holder, sha256=facts["sha256"], defaults={**facts, "role": Photo.Role(role)}
    )
    return held


def held_by(holder: str, tokens: Iterable[str]) -> list[HeldPicture]:
    """The held pictures of those tokens that are this session's, in the order of the tokens, each once."""
    order = list(dict.fromkeys(tokens))
    found = {held.token: held for held in HeldPicture.objects.filter(holder=holder, token__in=order)}
    return [found[token] for token in order if token in found]


@transaction.atomic
def claim(
    tokens: Iterable[str], subject: Model, *, holder: str, roles: Mapping[str, str] | None = None
) -> Results:
    """Make held pictures pictures of `subject`; `roles` says token by token what each shows.

    A token that is unknown, swept or another session's is named among the failed. Raises ValueError for a
    role that there is not, with nothing claimed.
    """
    tokens, roles = list(dict.fromkeys(tokens)), roles or {}
    results = Results()
    for held in held_by(holder, tokens):
        role = roles.get(held.token) or held.role
        results.taken.append(file_under(subject, held.facts(), role=role))
        held.delete()
    missing = len(tokens) - len(results.taken)
    results.failed.extend(Failed("", NO_LONGER) for _ in range(missing))
    return results


def let_go(token: str, *, holder: str) -> bool:
    """Take a picture out of a form again; its file goes with the next sweep. False where there was none."""
    gone, _ = HeldPicture.objects.filter(token=token, holder=holder).delete()
    return bool(gone)

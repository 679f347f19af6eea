"""The pictures part of a form: what was just sent, and what was sent before and is still held.

A form uses it so (the picker partial draws it)::

    picked = gather(request)
    if form.is_valid() and not picked.failed:
        find = record(...)
        picked.file_under(find)
    else:
        ... render the form again with `picked`: every picture is still there

With script the pictures come one by one while the form is being filled in, and only their tokens are in the
form; without it they come with the form. Both end as held pictures, so that an error elsewhere loses none.
"""

from dataclasses import dataclass, field

from django.db.models import Model
from django.http import HttpRequest

from .intake import PictureRefused
from .models import HeldPicture, Photo
from .services.holding import claim, held_by, hold
from .services.results import Failed, Results
from .services.storing import too_heavy

FILES, TOKENS, ROLE = "pictures", "held", "role"


@dataclass(slots=True)
class Picked:
    """The held pictures of a form and the ones that were refused."""

    holder: str = ""
    held: list[HeldPicture] = field(default_factory=list)
    failed: list[Failed] = field(default_factory=list)

    def file_under(self, subject: Model) -> Results:
        """Make them pictures of `subject`."""
        roles = {held.token: held.role for held in self.held}
        return claim(roles, subject, holder=self.holder, roles=roles)


def gather(request: HttpRequest, *, role: str = Photo.Role.DETAIL) -> Picked:
    """Hold every picture sent with the form, and find again those held before, with the roles chosen.

    Nothing a browser sends makes it raise: a refused picture is named in `failed`, an unknown role falls back
    to the one the picture had, a token of another session is passed over.
    """
    picked = Picked(holder=request.session.session_key or "")
    chosen_for_new = known_role(request.POST.get("pictures-role"), role)
    tokens = request.POST.getlist(TOKENS)
    for name in getattr(request, "too_large", ()):
        picked.failed.append(Failed(name, too_heavy()))
    for upload in request.FILES.getlist(FILES):
        try:
            tokens.append(hold(upload, holder=picked.holder, role=chosen_for_new).token)
        except PictureRefused as refused:
            picked.failed.append(Failed(upload.name or "", refused.why))
    picked.held = held_by(picked.holder, tokens)
    for held in picked.held:
        held.role = known_role(request.POST.get(f"{ROLE}-{held.token}"), held.role)
    return picked


def known_role(value: str | None, otherwise: str) -> str:
    return value if value in Photo.Role.values else otherwise

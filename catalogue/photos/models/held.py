"""A picture that waits for the form it was chosen in."""

import secrets

from django.db import models
from django.db.models import Q

from .facts import PictureFacts
from .photo import Photo


def new_token() -> str:
    """A name that can't be guessed."""
    return secrets.token_urlsafe(24)


class HeldPicture(PictureFacts):
    """Sent while a form is being filled in; becomes a `Photo` when the form is saved."""

    token = models.CharField(max_length=40, unique=True, default=new_token, editable=False)
    # The session that sent it: nobody else may see or claim it.
    holder = models.CharField(max_length=40, editable=False)
    role = models.CharField(max_length=10, choices=Photo.Role, default=Photo.Role.DETAIL)
    created = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(holder=""), name="held_picture_has_a_holder"),
            # A picture sent again after a dropped connection is the one already there.
            models.UniqueConstraint(fields=["holder", "sha256"], name="picture_held_once"),
        ]
        indexes = [
            # the sweep of what nobody claimed
            models.Index(fields=["created"], name="held_by_age"),
        ]

    def __str__(self) -> str:
        return self.original_name or "picture"

    def of_words(self) -> str:
        return "waiting for a form that was not saved yet"

"""A camera's card being sorted: pictures of a dive that belong to no piece yet, in groups not yet filed."""

from django.db import models
from django.db.models import Q

from catalogue.common.limits import NAME_LENGTH
from catalogue.photos.card_grouping import GroupReason
from catalogue.sites.models import Dive
from catalogue.specimens.models import Specimen

from .photo import Photo, PictureFacts

CODE_LENGTH = 40


class CardGroup(models.Model):
    """Pictures of a card that seem to show one piece, and what is to become of them."""

    class Goes(models.TextChoices):
        NEW = "new", "a new find"
        FIND = "find", "a find on record"
        DIVE = "dive", "the dive itself"
        LATER = "later", "left on the card"

    dive = models.ForeignKey(Dive, on_delete=models.CASCADE, related_name="card_groups")
    place = models.PositiveIntegerField()
    # The tag as read or typed; or a find's number, read from its label.
    code = models.CharField(max_length=CODE_LENGTH, blank=True)
    why = models.CharField(max_length=8, choices=[(why.value, why.value) for why in GroupReason])
    pause_s = models.PositiveIntegerField(null=True, blank=True)
    goes = models.CharField(max_length=5, choices=Goes, default=Goes.NEW)
    find = models.ForeignKey(Specimen, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    what = models.CharField(max_length=NAME_LENGTH, blank=True)
    # As long as no person changed anything, every new picture lets the whole card be proposed anew.
    touched = models.BooleanField("changed by a person", default=False)

    class Meta:
        ordering = ["place", "pk"]
        indexes = [
            # a card's groups in order
            models.Index(fields=["dive", "place"], name="card_groups_in_order"),
        ]

    def __str__(self) -> str:
        return self.code or f"group {self.place}"


class CardPicture(PictureFacts):
    """A picture of a card. It becomes a `Photo` when its group is filed, and stays until then."""

    dive = models.ForeignKey(Dive, on_delete=models.CASCADE, related_name="card_pictures")
    group = models.ForeignKey(
        CardGroup, on_delete=models.SET_NULL, null=True, blank=True, related_name="pictures"
    )
    order = models.PositiveIntegerField(default=0)
    # Tags and numbers read in it, parted by spaces.
    codes = models.CharField(max_length=500, blank=True)
    unread = models.BooleanField("a code is there that can't be read", default=False)
    by_hand = models.BooleanField("put into its group by a person", default=False)
    role = models.CharField(max_length=10, choices=Photo.Role, default=Photo.Role.AS_FOUND)
    created = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["order", "pk"]
        constraints = [
            # A card dropped again after a lost connection doubles nothing.
            models.UniqueConstraint(fields=["dive", "sha256"], name="picture_once_on_a_card"),
            models.CheckConstraint(condition=~Q(sha256=""), name="card_picture_has_a_file"),
        ]
        indexes = [
            # which files are still needed?
            models.Index(fields=["sha256"], name="card_picture_by_digest"),
        ]

    def __str__(self) -> str:
        return self.original_name or "picture"

    def of_words(self) -> str:
        return f"on the card of {self.dive}"

    @property
    def shows_tag(self) -> bool:
        return bool(self.codes) or self.unread

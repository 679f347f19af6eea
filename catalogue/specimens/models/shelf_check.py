"""A walk-round check of a place: what should stand there and what was seen; the order in which it stands."""

from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from catalogue.common.records import Record
from catalogue.shelves.models import Place

from .specimen import Specimen


class PieceOrder(models.Model):
    """The pieces of a place in an order of their own. One that is not named came later: it stands last."""

    place = models.OneToOneField(Place, on_delete=models.CASCADE, related_name="piece_order")
    # Keys of finds, from left to right; of one that stands elsewhere by now nothing is said.
    finds = models.JSONField(default=list)

    def __str__(self) -> str:
        return f"order in {self.place}"


class ShelfCheck(Record):
    """One walk round a place, which goes on until it is ended on purpose; then compared with the last."""

    place = models.ForeignKey(Place, on_delete=models.CASCADE, related_name="checks")
    with_inside = models.BooleanField("with all that is inside", default=False)
    ended_at = models.DateTimeField(null=True, blank=True, editable=False)
    # Codes that were read in pictures and name no piece, each once.
    unknown = models.JSONField(default=list, editable=False)
    # Pictures read, by the beginning of their digest: one that is sent again counts once. They are not kept.
    pictures_read = models.JSONField(default=list, editable=False)
    # How many they are.
    pictures = models.PositiveIntegerField(default=0, editable=False)

    RESTS_ON = ("place",)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-pk"]
        verbose_name = "shelf check"
        constraints = [
            # Two windows, two taps on the button: the one that was begun goes on.
            models.UniqueConstraint(
                fields=["place"],
                condition=Q(ended_at__isnull=True, binned_at__isnull=True),
                name="one_check_of_a_place_at_a_time",
            )
        ]

    def __str__(self) -> str:
        return f"check of {self.place}"

    def get_absolute_url(self) -> str:
        if self.ended_at:
            return reverse("shelves:check_result", args=[self.place_id, self.pk])
        return reverse("shelves:check", args=[self.place_id])

    def why_not_back(self, besides: Record | None = None) -> str:
        others = ShelfCheck.objects.filter(place=self.place_id, ended_at=None)
        if not self.ended_at and others.exists():
            return f"Another check of {self.place} goes on: end that one first."
        return ""


class CheckedPiece(models.Model):
    """What a check says of one piece. What nobody said is written when the check is ended."""

    class Seen(models.TextChoices):
        HERE = "here", "here"
        NOT_HERE = "not-here", "not here"
        ELSEWHERE = "elsewhere", "elsewhere"
        NOT_SAID = "not-said", "not seen"

    MISSING = (Seen.NOT_HERE, Seen.NOT_SAID)

    check_of = models.ForeignKey(ShelfCheck, on_delete=models.CASCADE, related_name="pieces")
    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="+")
    seen = models.CharField(max_length=9, choices=Seen)
    # Where it stood by the record when it was seen; and where it was seen instead. Of a piece that is here
    # and is not recorded here: in which place of those that the check goes round, where that was said.
    recorded = models.ForeignKey(Place, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    elsewhere = models.ForeignKey(Place, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    # Whether it should stand there by the record.
    expected = models.BooleanField(default=True)
    by_picture = models.BooleanField("its label was read in a picture", default=False)
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["check_of", "find"], name="piece_once_in_a_check")]

    def __str__(self) -> str:
        return f"{self.find}: {self.get_seen_display()}"

    @property
    def seen_in(self) -> Place | None:
        """The place that it may be moved to, where it was seen; None where that is in the bin, or was not."""
        place = self.elsewhere
        if self.seen == self.Seen.HERE and not self.expected:
            place = place or self.check_of.place
        elif self.seen != self.Seen.ELSEWHERE:
            return None
        return place if place and not place.binned_at else None

    @property
    def move_words(self) -> str:
        """What the button says that moves it to where it was seen; empty where it can't."""
        if not self.seen_in:
            return ""
        return f"Move to {self.elsewhere.name}" if self.elsewhere else "Move here"

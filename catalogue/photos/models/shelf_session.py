"""A picture of a whole shelf or box, and where in it each bottle stands."""

from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from catalogue.common.records import Record
from catalogue.shelves.models import Place
from catalogue.sites.models import Site
from catalogue.specimens.models import Specimen
from catalogue.specimens.year_words import came_up_words

from .photo import Photo


class ShelfSession(Record):
    """Pieces taken in from one picture; what is said here holds for all of them.

    It is kept from the first moment, so that one can stop half-way and go on another day.
    """

    photo = models.OneToOneField(Photo, on_delete=models.CASCADE, related_name="shelf_session")
    place = models.ForeignKey(
        Place, on_delete=models.SET_NULL, null=True, blank=True, related_name="shelf_sessions"
    )
    site = models.ForeignKey(Site, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    recovered_edtf = models.CharField("recovered about", max_length=40, blank=True)
    kind = models.CharField("most of them are", max_length=12, choices=Specimen.Kind, blank=True)
    stage = models.CharField(
        "how far along", max_length=10, choices=Specimen.Stage, default=Specimen.Stage.DONE
    )
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-created", "-pk"]

    @property
    def came_up_words(self) -> str:
        """ "the 1990s": when they came up."""
        return came_up_words(self.recovered_edtf)

    def __str__(self) -> str:
        return f"the picture of {self.place}" if self.place else "a picture of a shelf"


class ShelfBox(models.Model):
    """Where one bottle stands in the picture, in pixels of the picture as shown, right way up.

    `right_px` and `bottom_px` lie just outside. Once it has its find it stays as it is.
    """

    session = models.ForeignKey(ShelfSession, on_delete=models.CASCADE, related_name="boxes")
    # Made by the browser or the page: a form sent twice changes the box it speaks of instead of doubling it.
    key = models.CharField(max_length=36)
    left_px = models.PositiveIntegerField()
    top_px = models.PositiveIntegerField()
    right_px = models.PositiveIntegerField()
    bottom_px = models.PositiveIntegerField()
    kind = models.CharField("kind of vessel", max_length=12, choices=Specimen.Kind, blank=True)
    find = models.OneToOneField(
        Specimen, on_delete=models.CASCADE, null=True, blank=True, related_name="shelf_box"
    )

    class Meta:
        ordering = ["pk"]
        verbose_name_plural = "shelf boxes"
        constraints = [
            models.UniqueConstraint(fields=["session", "key"], name="shelf_box_once"),
            models.CheckConstraint(
                condition=Q(right_px__gt=F("left_px")) & Q(bottom_px__gt=F("top_px")),
                name="shelf_box_has_an_inside",
            ),
        ]

    def __str__(self) -> str:
        return f"box {self.left_px}, {self.top_px} to {self.right_px}, {self.bottom_px}"

    @property
    def corners(self) -> tuple[int, int, int, int]:
        """Left, top, right, bottom in pixels."""
        return self.left_px, self.top_px, self.right_px, self.bottom_px

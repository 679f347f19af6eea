"""A find promised to somebody, one that left, and one that a visitor asks for."""

from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from catalogue.access.models import WrongTry
from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, not_in_future
from catalogue.common.records import Record
from catalogue.people.models import Person
from catalogue.specimens.models import Move, Specimen

# Our own figure: a visitor's words, not an essay.
REQUEST_MESSAGE_LENGTH = 2000


class Promise(Record):
    """Open until it is kept (the find is handed over) or withdrawn."""

    class Ended(models.TextChoices):
        KEPT = "kept", "kept"
        WITHDRAWN = "withdrawn", "withdrawn"

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="promises")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="promises")
    on = models.DateField(validators=[not_in_future])
    until = models.DateField(null=True, blank=True)
    note = models.TextField(max_length=NOTE_LENGTH, blank=True)
    ended = models.CharField(max_length=10, choices=Ended, blank=True)
    ended_on = models.DateField(null=True, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-on", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ended="", ended_on__isnull=True) | (~Q(ended="") & Q(ended_on__isnull=False)),
                name="promise_ended_and_day_agree",
                violation_error_message="Say how it ended and on which day, or neither.",
            ),
            models.UniqueConstraint(
                fields=["find"],
                condition=Q(ended="", binned_at__isnull=True),
                name="one_open_promise_for_a_find",
                violation_error_message="This piece is already promised.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.find_id} promised to {self.person}"


class HandOver(Record):
    """Given to a person with a slip that tells its story and its cautions. The find's record stays."""

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="handovers")
    person = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, blank=True, related_name="handovers"
    )
    on = models.DateField(validators=[not_in_future])
    note = models.TextField(max_length=NOTE_LENGTH, blank=True)
    # The slip's text as it was on that day: the record may change later.
    slip = models.TextField(blank=True, editable=False)
    came_back_on = models.DateField(null=True, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-on", "-pk"]

    def __str__(self) -> str:
        return f"{self.find_id} handed over on {self.on}"


class PieceRequest(Record):
    """A visitor asks for a piece that is free to take. Its words are personal data: no history is kept.

    Erasing blanks them; the row keeps its place in the order of asking.
    """

    class Ended(models.TextChoices):
        PROMISED = "promised", "promised"
        DECLINED = "declined", "declined"
        TAKEN_BACK = "taken-back", "taken back"

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="requests")
    name = models.CharField("your name", max_length=NAME_LENGTH)
    reach = models.CharField(
        "how to reach you",
        max_length=500,
        help_text="Telephone, mail or where you live. Only the owner reads it.",
    )
    message = models.TextField("message", max_length=REQUEST_MESSAGE_LENGTH, blank=True)
    # Digest of the token that the visitor's browser holds: only from there it can be taken back.
    browser = models.CharField(max_length=64, editable=False)
    ended = models.CharField(max_length=10, choices=Ended, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)
    promise = models.ForeignKey(
        Promise, on_delete=models.SET_NULL, null=True, blank=True, related_name="requests"
    )
    person = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, blank=True, related_name="requests"
    )
    # Whether the promise added that person to the address book: its undo takes them out again.
    person_is_new = models.BooleanField(default=False, editable=False)
    erased_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["pk"]
        # Index: how many asked within the last day, of a piece and in all.
        indexes = [models.Index(fields=["created"], name="requests_of_the_last_day")]
        constraints = [
            models.CheckConstraint(
                condition=Q(ended="", ended_at__isnull=True) | (~Q(ended="") & Q(ended_at__isnull=False)),
                name="request_ended_and_time_agree",
            ),
            models.UniqueConstraint(
                fields=["find", "browser"],
                condition=Q(ended="", binned_at__isnull=True),
                name="one_open_request_of_a_browser",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.find_id} asked for"


class RequestTry(WrongTry):
    """A request from an address: counted, as wrong passwords are, so that no script floods the owner."""


class Departure(Record):
    """A piece that is gone without anybody's having it from us: lost or broken, returned, left in place.

    Written once and taken back whole, so that no history of it is kept. Its standing is the find's.
    """

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="departures")
    standing = models.CharField(max_length=12, choices=Specimen.Standing)
    on = models.DateField(validators=[not_in_future])
    reason = models.CharField(max_length=500)
    # The move that freed its place; empty where it had none.
    move = models.ForeignKey(Move, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-on", "-pk"]

    def __str__(self) -> str:
        return f"{self.find_id} {self.get_standing_display()} on {self.on}"

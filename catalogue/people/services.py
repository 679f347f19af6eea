"""What can be done with the address book."""

from django.db import transaction
from django.dispatch import Signal
from django.utils import timezone

from catalogue.common.limits import NAME_LENGTH
from catalogue.common.merged import all_merged_here, once_named

from .models import Person

# Sent with each row that was erased, in its transaction: an app above that holds words about people blanks
# them too.
person_erased = Signal()


def person_named(name: str) -> Person:
    """The person of that name (case ignored), or the one that such a one was merged into; made where there
    is none."""
    name = " ".join(name.split())
    found = Person.objects.filter(name__iexact=name, erased_at__isnull=True).first()
    return found or once_named(Person, name) or Person.objects.create(name=name)


MOST_NAMES_OFFERED = 12


def names_like(typed: str) -> list[str]:
    """Up to a dozen names of the book to go on with, those that begin so first. One query.

    Of several with commas between the last is looked for, and each answer holds those before it as well.
    """
    before, comma, last = typed.rpartition(",")
    last = " ".join(last.split())[:NAME_LENGTH]
    named = {" ".join(name.split()).casefold() for name in before.split(",")}
    book = Person.objects.filter(erased_at__isnull=True, name__icontains=last).order_by("name", "pk")
    names = [name for name in book.values_list("name", flat=True)[:200] if name.casefold() not in named]
    names.sort(key=lambda name: not name.casefold().startswith(last.casefold()))
    front = f"{before.strip()}, " if comma else ""
    return [f"{front}{name}" for name in dict.fromkeys(names)][:MOST_NAMES_OFFERED]


@transaction.atomic
def erase(person: Person) -> None:
    """Blank a person for good, with whoever was merged into them: it is one person.

    Backups made earlier still hold the name; the screen says so.
    """
    for each in (person, *all_merged_here(person)):
        each.name, each.reach, each.notes = "somebody (erased)", "", ""
        each.erased_at = timezone.now()
        each.save()
        person_erased.send(sender=Person, person=each)

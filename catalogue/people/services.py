"""What can be done with the address book."""

from django.utils import timezone

from .models import Person


def person_named(name: str) -> Person:
    """The person of that name (case ignored), made where there is none."""
    name = " ".join(name.split())
    found = Person.objects.filter(name__iexact=name, erased_at__isnull=True).first()
    return found or Person.objects.create(name=name)


def erase(person: Person) -> None:
    """Blank a person for good. Backups made earlier still hold the name; the screen says so."""
    person.name, person.reach, person.notes = "somebody (erased)", "", ""
    person.erased_at = timezone.now()
    person.save()

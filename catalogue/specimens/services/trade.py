"""Bottlers and products: who is meant by a name, and what follows when one is changed."""

from collections.abc import Sequence
from functools import reduce
from operator import or_

from django.db.models import Q

from catalogue.common.limits import NAME_LENGTH
from catalogue.common.merged import once_named
from catalogue.common.text import free_slug
from catalogue.specimens.derived.refresh import refresh_now, refreshing
from catalogue.specimens.models import Bottler, Product, Specimen


class SeveralOfThatName(ValueError):
    """More than one bottler is called so; the message says how each is told apart."""


def bottler_meant(text: str) -> Bottler | None:
    """The bottler of that name, made where it is new; of namesakes the one whose town follows after a comma.

    None for blank text. Raises SeveralOfThatName, with nothing made.
    """
    typed = " ".join(text.split())[:NAME_LENGTH]
    if not typed:
        return None
    return known_bottler(typed) or Bottler.objects.create(name=typed, slug=free_slug(Bottler, typed))


def known_bottler(typed: str) -> Bottler | None:
    """The same where there is one already. Raises SeveralOfThatName."""
    parts = typed.split(", ")
    names = (Q(name__iexact=", ".join(parts[:n])) for n in range(1, len(parts) + 1))
    called = Bottler.objects.filter(reduce(or_, names)).select_related("town").order_by("pk")
    wanted = typed.casefold()
    told = [bottler for bottler in called if wanted in _ways_to_tell(bottler)]
    found = told or [bottler for bottler in called if bottler.name.casefold() == wanted]
    if len(found) > 1:
        ways = "; ".join(told_apart(bottler) for bottler in found[:5])
        raise SeveralOfThatName(f"Several bottlers are called so. Write one of: {ways}.")
    return found[0] if found else once_named(Bottler, typed)


def told_apart(bottler: Bottler) -> str:
    """Its name with its town, as `bottler_meant` reads it."""
    return f"{bottler.name}, {bottler.town}" if bottler.town else bottler.name


def _ways_to_tell(bottler: Bottler) -> set[str]:
    ways = {told_apart(bottler)}
    if bottler.town:
        ways.add(f"{bottler.name}, {bottler.town.name}")
    return {way.casefold() for way in ways}


@refreshing()
def keep_bottler(bottler: Bottler, fields: Sequence[str]) -> int:
    """Save what was changed on a bottler. Its years are evidence, so its pieces are dated anew.

    Returns how many of them have another phrase than before.
    """
    return _kept(bottler, fields, Q(bottler=bottler))


@refreshing()
def keep_product(product: Product, fields: Sequence[str]) -> int:
    """Save what was changed on a product: a code may hold for it alone, so its pieces are dated anew.

    Returns how many of them have another phrase than before.
    """
    return _kept(product, fields, Q(product=product))


def _kept(row: Bottler | Product, fields: Sequence[str], its: Q) -> int:
    if not fields:
        return 0
    pieces = Specimen.everything.filter(its)
    before = dict(pieces.values_list("pk", "made_words"))
    row.save(update_fields=list(fields))
    refresh_now()
    return sum(before.get(pk) != words for pk, words in pieces.values_list("pk", "made_words"))

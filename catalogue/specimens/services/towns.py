"""Towns, taken from the gazetteer or typed; bottlers and what they sold."""

from collections.abc import Sequence

from catalogue.common.text import free_slug
from catalogue.specimens.derived.refresh import refresh_now, refreshing
from catalogue.specimens.gazetteer import Listed, suggest
from catalogue.specimens.models import Bottler, Product, Specimen, Town


def town_named(text: str) -> Town | None:
    """The town written as "name", "name, region" or "name, region, country"; made where it is new.

    A name that the gazetteer has exactly once gets its region and position from there; otherwise it is
    kept as typed. None for blank text.
    """
    parts = [part.strip() for part in " ".join(text.split()).split(",")]
    if not parts[0]:
        return None
    name, region = parts[0][:200], parts[1][:100] if len(parts) > 1 else ""
    country = parts[2].upper() if len(parts) > 2 and len(parts[2]) == 2 else ""
    known = Town.objects.filter(name__iexact=name)
    if region:
        known = known.filter(region__iexact=region)
    if country:
        known = known.filter(country__iexact=country)
    found = list(known[:2])
    if len(found) == 1 or (found and not region):
        return found[0]
    listed = _listed(name, region, country)
    if listed:
        return Town.objects.create(
            name=listed.name,
            region=listed.region,
            country=listed.country,
            latitude=listed.latitude,
            longitude=listed.longitude,
            from_gazetteer=True,
            slug=free_slug(Town, listed.name),
        )
    return Town.objects.create(name=name, region=region, country=country, slug=free_slug(Town, name))


def bottler_named(text: str, town: Town | None = None) -> Bottler | None:
    """The bottler of that name (in that town, or without one on record); made where it is new."""
    name = " ".join(text.split())[:200]
    if not name:
        return None
    known = Bottler.objects.filter(name__iexact=name)
    found = known.filter(town=town).first() or (known.first() if town is None else None)
    found = found or known.filter(town=None).first()
    return found or Bottler.objects.create(name=name, town=town, slug=free_slug(Bottler, name))


def product_named(text: str, bottler: Bottler | None = None, contents: str = "") -> Product | None:
    """The product of that name; made where it is new."""
    name = " ".join(text.split())[:200]
    if not name:
        return None
    known = Product.objects.filter(name__iexact=name)
    found = known.filter(bottler=bottler).first() or known.filter(bottler=None).first()
    return found or Product.objects.create(
        name=name, bottler=bottler, contents=contents, slug=free_slug(Product, name)
    )


@refreshing()
def keep_town(town: Town, fields: Sequence[str]) -> Town:
    """Save what was changed on a town; search finds its pieces by the new name at once."""
    if fields:
        town.save(update_fields=list(fields))
    return town


@refreshing()
def keep_bottler(bottler: Bottler, fields: Sequence[str]) -> int:
    """Save what was changed on a bottler. Its years are evidence, so its pieces are dated anew.

    Returns how many of them have another phrase than before.
    """
    if not fields:
        return 0
    pieces = Specimen.everything.filter(bottler=bottler)
    before = dict(pieces.values_list("pk", "made_words"))
    bottler.save(update_fields=list(fields))
    refresh_now()
    return sum(before.get(pk) != words for pk, words in pieces.values_list("pk", "made_words"))


def _listed(name: str, region: str, country: str) -> Listed | None:
    rows = [row for row in suggest(name, limit=60) if row.folded == name.casefold()]
    if region:
        rows = [row for row in rows if row.region.casefold() == region.casefold()]
    if country:
        rows = [row for row in rows if row.country == country]
    # An ambiguous name is not guessed: the form offers the choices, this keeps what was typed.
    return rows[0] if len(rows) == 1 else None

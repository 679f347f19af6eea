"""Keep a find with everything the form says, whole or not at all."""

from django.db import transaction

from catalogue.common.forms.optimistic_lock import check_version
from catalogue.people.services import person_named
from catalogue.photos.services.uploads import Picked
from catalogue.shelves.models import Place
from catalogue.shelves.services import keep_place
from catalogue.sites.models import Dive, Site
from catalogue.sites.services import keep_site, log_dive
from catalogue.specimens.models import Bottler, Product, Specimen, Town
from catalogue.specimens.services import keep_find, move_to
from catalogue.specimens.services.towns import bottler_named, product_named, town_named

from .dive_form import Chosen
from .find_form import TYPED
from .sheet import Sheet

# Worked out by the catalogue itself; nobody typed them.
DERIVED = frozenset({"changed", "maker", "maker_how", "maker_probability"}) | {
    column.name for column in Specimen._meta.concrete_fields if column.name.startswith("made_")
}


@transaction.atomic
def record_find(sheet: Sheet, picked: Picked) -> Specimen:
    """Keep a new find from a valid form: a new dive, site, people and place with it, and its pictures."""
    find: Specimen = sheet.find_form.instance
    put_where_found(find, sheet.dive_form.chosen())
    find.town, find.bottler, find.product = named_in(sheet)
    find.place = place_in(sheet)
    keep_find(find, sheet.rows())
    picked.file_under(find)
    return find


@transaction.atomic
def revise_find(sheet: Sheet, picked: Picked, *, seen: str = "") -> Specimen:
    """Keep what a valid form changed of a find on record; everything else stays as it is.

    `seen` is the version of the find as the person last saw it. Raises ChangedMeanwhile, keeping nothing,
    where it was changed since.
    """
    form = sheet.find_form
    # Read afresh: the form's own copy carries whatever was typed, also into columns nobody changed.
    find = Specimen.objects.select_for_update(of=("self",)).get(pk=form.instance.pk)
    check_version(find, seen, derived=DERIVED)
    fields = form.changed_columns()
    for name in fields:
        setattr(find, name, form.cleaned_data[name])
    if sheet.dive_form.has_changed():
        put_where_found(find, sheet.dive_form.chosen())
        fields += ["dive", "site", "recovered_edtf"]
    typed = [name for name in TYPED if name in form.changed]
    if typed:
        values = dict(zip(TYPED, named_in(sheet), strict=True))
        for name in typed:
            setattr(find, name, values[name])
        fields += typed
    if {"place", "new_place"} & set(form.changed):
        move_to(find, place_in(sheet))
    keep_find(find, sheet.rows(), fields=fields)
    picked.file_under(find)
    return find


def put_where_found(find: Specimen, chosen: Chosen) -> None:
    """Write dive, site and time into a find, logging a new dive first."""
    find.dive = find.site = None
    find.recovered_edtf = chosen.recovered
    if chosen.dive is not None:
        find.dive = Dive.everything.select_related("site").get(pk=chosen.dive)
    elif chosen.is_new_dive and chosen.day:
        dive = Dive(site=site_of(chosen), date=chosen.day, depth_m=chosen.depth_m)
        find.dive = log_dive(dive, [person_named(name) for name in chosen.buddies])
    else:
        find.site = site_of(chosen)


def site_of(chosen: Chosen) -> Site | None:
    """The site that was chosen or named; one of that name is taken before a new one is made."""
    if chosen.site is not None:
        return Site.objects.get(pk=chosen.site)
    name = " ".join(chosen.new_site.split())
    if not name:
        return None
    return Site.objects.filter(name__iexact=name).first() or keep_site(Site(name=name))


def named_in(sheet: Sheet) -> tuple[Town | None, Bottler | None, Product | None]:
    """Town, bottler and product as rows; unchanged words keep the row they stand for."""
    form, data = sheet.find_form, sheet.find_form.cleaned_data
    stored = sheet.start.find
    changed = set(form.changed) if stored.pk else set(TYPED)
    town = town_named(data["town"]) if "town" in changed else stored.town
    bottler = bottler_named(data["bottler"], town) if "bottler" in changed else stored.bottler
    product = (
        product_named(data["product"], bottler, data["contents"]) if "product" in changed else stored.product
    )
    return town, bottler, product


def place_in(sheet: Sheet) -> Place | None:
    """The place that was chosen or named; one of that name at the top is taken before a new one is made."""
    name = " ".join(sheet.find_form.cleaned_data["new_place"].split())
    if not name:
        chosen: Place | None = sheet.find_form.cleaned_data["place"]
        return chosen
    known = Place.objects.filter(name__iexact=name, parent=None).first()
    return known or keep_place(Place(name=name))

"""Rows that a sheet's words lead to: towns, bottlers, products, sites, dives, places, each looked up once."""

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from django.db.models import Model

from catalogue.common.text import folded
from catalogue.shelves.models import Place
from catalogue.shelves.services import keep_place
from catalogue.sites.models import Dive, Site
from catalogue.sites.services import keep_site, log_dive
from catalogue.specimens.models import Bottler, Product, Specimen, Town
from catalogue.specimens.services.towns import bottler_named, product_named, town_named

from .row_said import RowSaid, SiteSaid, WherePlan

# Kinds of rows that an import may make, as its undo names them; in the order in which they are taken back.
MADE_KINDS: dict[str, type[Model]] = {
    "product": Product,
    "bottler": Bottler,
    "town": Town,
    "dive": Dive,
    "site": Site,
    "place": Place,
}


@dataclass(slots=True)
class RowsMade:
    """Looks up and makes rows for all finds of one import; `made` are keys of new ones by their kind."""

    sites_said: dict[str, SiteSaid]
    made: dict[str, list[int]] = field(default_factory=dict)
    _towns: dict[str, Town | None] = field(default_factory=dict)
    _bottlers: dict[tuple[str, int], Bottler | None] = field(default_factory=dict)
    _products: dict[tuple[str, int], Product | None] = field(default_factory=dict)
    _places: dict[str, Place] = field(default_factory=dict)
    _sites: dict[str, Site] = field(default_factory=dict)
    _dives: dict[tuple[int, date, int | None], Dive] = field(default_factory=dict)
    _last: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Keys grow: what is above the last one of now was made since."""
        for kind, model in MADE_KINDS.items():
            last = model._base_manager.order_by("-pk").values_list("pk", flat=True).first()
            self._last[kind] = last or 0

    def _note(self, kind: str, row: Model | None) -> None:
        if row is not None and row.pk > self._last[kind]:
            keys = self.made.setdefault(kind, [])
            if row.pk not in keys:
                keys.append(row.pk)

    def town(self, words: str) -> Town | None:
        """The town as typed."""
        if words not in self._towns:
            self._towns[words] = town_named(words)
            self._note("town", self._towns[words])
        return self._towns[words]

    def name_trade(self, find: Specimen, said: RowSaid) -> list[str]:
        """Write town, bottler and product into a find, those that were said; the names of these columns."""
        changed = []
        if "town" in said.names:
            find.town = self.town(said.names["town"])
            changed.append("town")
        if {"bottler", "bottler_town"} & set(said.names):
            named = said.names.get("bottler") or (find.bottler.name if find.bottler else "")
            town = self.town(said.names["bottler_town"]) if said.names.get("bottler_town") else find.town
            find.bottler = self.bottler(named, town)
            changed.append("bottler")
        if "product" in said.names:
            find.product = self.product(said.names["product"], find)
            changed.append("product")
        return changed

    def bottler(self, name: str, town: Town | None) -> Bottler | None:
        """The bottler of that name in that town."""
        key = (folded(name), town.pk if town else 0)
        if key not in self._bottlers:
            self._bottlers[key] = bottler_named(name, town)
            self._note("bottler", self._bottlers[key])
        return self._bottlers[key]

    def product(self, name: str, find: Specimen) -> Product | None:
        """The product of that name of the find's bottler."""
        key = (folded(name), find.bottler_id or 0)
        if key not in self._products:
            self._products[key] = product_named(name, find.bottler, find.contents)
            self._note("product", self._products[key])
        return self._products[key]

    def place(self, words: str) -> Place:
        """The place of that path or name; a new one lies inside what stands before its last comma."""
        key = folded(words)
        if key not in self._places:
            places = list(Place.objects.all())
            by_path = [place for place in places if folded(place.path) == key]
            by_name = [place for place in places if folded(place.name) == key]
            found = by_path or (by_name if len(by_name) == 1 else [])
            self._places[key] = found[0] if found else self._new_place(words)
            self._note("place", self._places[key])
        return self._places[key]

    def _new_place(self, words: str) -> Place:
        above, _, name = words.rpartition(", ")
        inside = self.place(above) if above and len(above) <= 1000 else None
        return keep_place(Place(name=name[:200], parent=inside))

    def put_where_found(self, find: Specimen, plan: WherePlan) -> None:
        """Write dive, site and time into a find, making what the plan says."""
        find.recovered_edtf = plan.recovered
        find.dive = find.site = None
        if plan.dive is not None:
            find.dive = Dive.objects.select_related("site").get(pk=plan.dive)
            return
        site = self.site(plan.new_site) if plan.new_site else None
        if site is None and plan.site is not None:
            site = Site.objects.get(pk=plan.site)
        if plan.new_dive and site is not None:
            day, ordinal = plan.new_dive
            key = (site.pk, day, ordinal)
            if key not in self._dives:
                self._dives[key] = log_dive(Dive(site=site, date=day), ordinal=ordinal)
                self._note("dive", self._dives[key])
            find.dive = self._dives[key]
        else:
            find.site = site

    def site(self, key: str) -> Site:
        """The site to be added, by its folded name."""
        if key not in self._sites:
            said = self.sites_said[key]
            known = Site.objects.filter(name__iexact=said.name).first()
            self._sites[key] = known or keep_site(_site_of(said))
            self._note("site", self._sites[key])
        return self._sites[key]


def _site_of(said: SiteSaid) -> Site:
    site = Site(name=said.name, water_body=said.water_body[:200], uncertainty_m=said.uncertainty_m)
    if said.position:
        site.latitude, site.longitude = (Decimal(f"{angle:.6f}") for angle in said.position)
    return site


def sites_said(rows: list[RowSaid]) -> dict[str, SiteSaid]:
    """Each site to be added, with what its rows say of it: the first that tells a fact counts."""
    found: dict[str, SiteSaid] = {}
    for row in rows:
        if row.site is None:
            continue
        site = found.setdefault(folded(row.site.name), row.site)
        site.water_body = site.water_body or row.site.water_body
        site.position = site.position or row.site.position
        site.uncertainty_m = site.uncertainty_m or row.site.uncertainty_m
    return found

"""Rows of the scenario into records, through the same services as the pages."""

from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

from django.utils import timezone

from catalogue.care.models import ConditionReport, Damage, Treatment
from catalogue.care.services import log_treatment, report_condition
from catalogue.care.services.treatments import note_look
from catalogue.common.text import free_slug
from catalogue.giving.asking import ask_for
from catalogue.giving.services import hand_over, mark, promise
from catalogue.people.models import Person
from catalogue.people.services import person_named
from catalogue.shelves.models import Place
from catalogue.shelves.services import keep_place
from catalogue.sites.models import Dive, Permission, Site
from catalogue.sites.services import keep_site, log_dive
from catalogue.specimens.models import (
    Bottler,
    Inscription,
    KnownYears,
    Maker,
    MarkReading,
    ObservedFeature,
    Opinion,
    OwnCode,
    OwnMark,
    Product,
    Specimen,
    Town,
    TwinGroup,
    Wish,
    Works,
)
from catalogue.specimens.services import Parts, give_opinion, keep_find, new_part
from catalogue.specimens.services.makers import keep_maker

from .scenario import table

SIZES = ("height_mm", "diameter_mm", "base_mm", "bore_mm", "mass_g", "capacity_ml")


class Scenario:
    """What was loaded so far, by the keys of the tables."""

    def __init__(self) -> None:
        self.towns: dict[str, Town] = {}
        self.bottlers: dict[str, Bottler] = {}
        self.products: dict[str, Product] = {}
        self.makers: dict[str, Maker] = {}
        self.places: dict[str, Place] = {}
        self.sites: dict[str, Site] = {}
        self.dives: dict[str, Dive] = {}
        self.twins: dict[str, TwinGroup] = {}
        self.finds: dict[str, Specimen] = {}

    def load_trade(self) -> None:
        """Towns, bottlers, goods, makers, places and people."""
        trade = table("trade")
        for row in trade["town"]:
            slug = free_slug(Town, row["name"])
            self.towns[row["name"]] = Town.objects.create(slug=slug, region="Velmoor", **row)
        for row in trade["bottler"]:
            given = {k: v for k, v in row.items() if k not in ("key", "town")}
            self.bottlers[row["key"]] = Bottler.objects.create(
                slug=free_slug(Bottler, row["name"]), town=self.towns[row["town"]], **given
            )
        for row in trade["product"]:
            self.products[row["key"]] = Product.objects.create(
                name=row["name"],
                slug=free_slug(Product, row["name"]),
                bottler=self.bottlers[row["bottler"]],
                contents=row["contents"],
            )
        for row in trade["maker"]:
            self.makers[row["key"]] = self._maker(row)
        for row in trade["place"]:
            inside = self.places.get(row.get("inside", ""))
            self.places[row["key"]] = keep_place(Place(name=row["name"], kind=row["kind"], parent=inside))
        for row in trade["person"]:
            Person.objects.create(**row)
        for row in trade["wish"]:
            self._wish(row)

    def _wish(self, row: dict[str, Any]) -> None:
        """Something that is still looked for."""
        known: dict[str, Any] = {"product": self.products, "bottler": self.bottlers, "town": self.towns}
        Wish.objects.create(**{name: known[name][v] if name in known else v for name, v in row.items()})

    def _maker(self, row: dict[str, Any]) -> Maker:
        plain = ("name", "place", "from_year", "to_year", "source", "notes")
        works = [Works(**{**w, "town": self.towns[w["town"]]}) for w in row["works"]]
        by_name = {each.name: each for each in works}
        codes = [
            OwnCode(**{**code, "works": by_name.get(code.get("works", ""))}) for code in row.get("codes", ())
        ]
        maker = Maker(**{key: row[key] for key in plain})
        return keep_maker(maker, works=works, marks=[OwnMark(**row["mark"])], codes=codes)

    def load_waters(self) -> None:
        """Sites with what was asked about them, and dives in the order of their days."""
        waters = table("waters")
        for row in waters["site"]:
            given = {k: v for k, v in row.items() if k not in ("key", "bed")}
            for name in ("latitude", "longitude", "greatest_depth_m"):
                given[name] = Decimal(given[name])
            self.sites[row["key"]] = keep_site(Site(**given))
        for row in waters["permission"]:
            given = {k: v for k, v in row.items() if k != "site"}
            for name in ("asked_on", "valid_from", "valid_to"):
                if name in given:
                    given[name] = date.fromisoformat(given[name])
            if days := given.pop("valid_for_days", None):
                given["valid_to"] = timezone.localdate() + timedelta(days=days)
            Permission.objects.create(site=self.sites[row["site"]], **given)
        for row in waters["dive"]:
            given = {k: v for k, v in row.items() if k not in ("key", "site", "with")}
            given |= {
                "date": date.fromisoformat(given["date"]),
                "start": time.fromisoformat(given["start"]),
                **{name: Decimal(given[name]) for name in ("depth_m", "visibility_m", "water_c")},
            }
            buddies = [person_named(name) for name in row["with"]]
            self.dives[row["key"]] = log_dive(Dive(site=self.sites[row["site"]], **given), buddies)

    def load_find(self, row: dict[str, Any]) -> Specimen:
        """One find with all that was read on it, then what was done to it."""
        find = Specimen(
            what=row["what"],
            dive=self.dives.get(row.get("dive", "")),
            recovered_edtf=row.get("recovered", ""),
            product=self.products.get(row.get("product", "")),
            bottler=self.bottlers.get(row.get("bottler", "")),
            town=self.towns.get(row.get("town", "")),
            place=self.places.get(row.get("place", "")),
            twin_group=self._twins(row.get("twin")),
            stage=row.get("stage", "done"),
            shared=row.get("shared", False),
            field_tag=row.get("tag", ""),
            where_on_site=row.get("where", ""),
            depth_m=Decimal(str(row["depth"])) if "depth" in row else None,
            **{
                name: row[name]
                for name in ("kind", "contents", "colour", "lie", "found_with", "look", "notes", "story")
                if name in row
            },
            **dict(zip(SIZES, map(Decimal, row.get("sizes", ())), strict=False)),
        )
        keep_find(find, _parts(row))
        self.finds[row["key"]] = find
        if "part" in row:
            new_part(find, row["part"])
        return find

    def _twins(self, name: str | None) -> TwinGroup | None:
        if not name:
            return None
        if name not in self.twins:
            self.twins[name] = TwinGroup.objects.create(name=name)
        return self.twins[name]

    def load_care(self, find: Specimen, row: dict[str, Any]) -> None:
        """Its condition, what a look at the bench showed, and everything done to it, in order."""
        seen = row.get("condition")
        if seen:
            report = ConditionReport(
                find=find,
                on=date.fromisoformat(seen["on"]),
                grade=seen["grade"],
                by=person_named("Ruth Pell"),
            )
            damages = [Damage(kind=kind, extent=extent, part=part) for kind, extent, part in seen["damages"]]
            report_condition(report, damages)
        if look := row.get("seen"):
            note_look(find, look["found"], look["note"])
        for method, begun, ended, note in row.get("treatments", ()):
            log_treatment(
                Treatment(
                    find=find,
                    method=method,
                    look=find.look,
                    begun=_at(begun, 10),
                    ended=_at(ended, 17),
                    note=note,
                )
            )

    def load_opinions(self, find: Specimen, row: dict[str, Any]) -> None:
        for said in row.get("opinions", ()):
            maker = self.makers.get(said.get("maker", ""))
            give_opinion(
                Opinion(
                    find=find,
                    about=said["about"],
                    value=said.get("value") or str(maker),
                    maker=maker,
                    by=person_named(said["by"]),
                    on=date.fromisoformat(said["on"]),
                    reason=said["reason"],
                )
            )

    def load_giving(self, find: Specimen, row: dict[str, Any]) -> None:
        """What became of it."""
        if "promised" in row:
            said = row["promised"]
            promise(find, person_named(said["to"]), on=date.fromisoformat(said["on"]), note=said["note"])
        elif "handed" in row:
            said = row["handed"]
            hand_over(find, person_named(said["to"]), on=date.fromisoformat(said["on"]), note=said["note"])
        elif "standing" in row:
            mark(find, row["standing"])
        for n, said in enumerate(row.get("asked", ())):
            about = {"name": said["name"], "reach": said["reach"], "message": said.get("message", "")}
            # A browser and an address of nobody's, of the block that is kept for examples (RFC 5737).
            ask_for(find, **about, token=f"{find.number}-{n}", address=f"192.0.2.{n + 1}")


def _parts(row: dict[str, Any]) -> Parts:
    features = [
        ObservedFeature(feature=f)
        if isinstance(f, str)
        else ObservedFeature(feature=f["id"], certainty=f["certainty"])
        for f in row.get("features", ())
    ]
    known = [
        KnownYears(
            what=k["what"],
            from_year=k.get("from"),
            to_year=k.get("to"),
            certainty=k.get("certainty", "certain"),
            source=k.get("source", ""),
        )
        for k in row.get("known", ())
    ]
    return Parts(
        inscriptions=[Inscription(**i) for i in row.get("inscriptions", ())],
        readings=[MarkReading(**r) for r in row.get("reading", ())],
        features=features,
        known=known,
    )


def _at(day: str, hour: int) -> datetime:
    naive = datetime.combine(date.fromisoformat(day), time(hour))
    return timezone.make_aware(naive)

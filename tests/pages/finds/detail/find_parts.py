"""A find with everything on record, for the tests of its page; every word is invented."""

import datetime
from zoneinfo import ZoneInfo

from catalogue.care.models import ConditionReport, Damage, Treatment
from catalogue.care.services import log_treatment, report_condition
from catalogue.giving.services import promise
from catalogue.specimens.models import Inscription, ObservedFeature, Opinion, Specimen
from catalogue.specimens.services import Parts, give_opinion, match, move_to, new_part
from tests import factories as make

DAY = datetime.date(2025, 8, 26)


def at(day: int, hour: int = 10) -> datetime.datetime:
    return datetime.datetime(2025, 9, day, hour, 0, tzinfo=ZoneInfo("UTC"))


def full_find() -> Specimen:
    """A ginger beer bottle read, treated, moved, thought about, matched and promised."""
    maker = make.brackwater()
    cove = make.site("Tallow Cove", latitude="44.5", longitude="-67.25", water_body="Velmoor Sound")
    shelf, bench = make.place("Hall case"), make.place("Bench")
    find = make.find(
        "Aqua ginger-beer bottle",
        Parts(
            readings=[make.reading("BW", symbol="wave", frame="none", right="6", where="base")],
            inscriptions=[
                Inscription(where="base", text="Marrowby", says="town"),
                Inscription(where="body", text="QUILL & SONS / BREWED [..]", says="bottler"),
            ],
            features=[ObservedFeature(feature="crown-finish")],
        ),
        dive=make.dive(cove, DAY),
        town=make.town("Marrowby", latitude=45.9, longitude=-66.6),
        bottler=make.bottler(),
        contents="soda",
        kind="soda",
        colour="aqua",
        height_mm=241,
        base_mm=62,
        depth_m=11,
        lie="upright",
        found_with="a clay pipe",
        notes="Private note: near the third post",
        story="It held ginger beer.",
        place=bench,
        where_on_site="under the ledge",
    )
    look = ConditionReport(find=find, on=DAY, grade="sound", by=make.person("Orla Finch"), note="barnacles")
    report_condition(look, [Damage(kind="chip", part="lip", extent="trace", note="4 mm")])
    soaked = Treatment(
        find=find, method="soak", begun=at(1), ended=at(8), agents="tap water", result="better"
    )
    log_treatment(soaked, stage="cleaning")
    log_treatment(Treatment(find=find, method="tumble", begun=at(9), passes=2, tools="copper"))
    move_to(find, shelf, "cleaned")
    first = Opinion(find=find, about="maker", value="Somebody else", on=DAY)
    give_opinion(first)
    give_opinion(
        Opinion(
            find=find, about="maker", value=maker.name, maker=maker, on=DAY, reason="The wave decides it."
        )
    )
    match(find, make.find("Aqua ginger-beer bottle, its twin"))
    new_part(find, "Stopper")
    promise(Specimen.objects.get(pk=find.pk), make.person("Bram Tolley"), note="for his window")
    return Specimen.objects.get(pk=find.pk)

"""Rows that browser tests begin with, each set in a database of its own, made by one process of its own.

python -m tests.browser.filled SOURCE.sqlite3 FOLDER copies the source to FOLDER/<name>.filled.sqlite3
once for each function below and fills the copy through the same services as the pages.
"""

import datetime
import shutil
import sys
from pathlib import Path


def little() -> None:
    """A maker, a dive, a place, finds in several stages, one handed on to visitors."""
    from catalogue.specimens.models import Inscription, MarkReading, ObservedFeature
    from catalogue.specimens.services import Parts, set_standing
    from tests import factories

    factories.brackwater()
    dive = factories.dive(date=datetime.date(2024, 6, 1))
    place = factories.place()
    town = factories.town()
    coded = Parts(
        readings=[MarkReading(letters="BW", symbol="wave", frame="none", right="7")],
        features=[ObservedFeature(feature="crown-finish", certainty="certain")],
        inscriptions=[Inscription(text="QUILL & SONS / MARROWBY", says="bottler")],
    )
    around = {"dive": dive, "place": place, "town": town}
    shown = factories.find("Ginger beer bottle", coded, contents="soda", height_mm=190, **around)
    quarrel = [ObservedFeature(feature=name) for name in ("blowpipe-pontil", "machine-seam-over-finish")]
    factories.find("Figured flask", Parts(features=quarrel), dive=dive)
    factories.find("Plain jar", height_mm=120)
    set_standing(shown, "free")
    type(shown).objects.filter(pk=shown.pk).update(shared=True)


def maker() -> None:
    """A maker whose mark is BW in a circle, with one digit of the year, as `add_maker` types it."""
    from catalogue.specimens.models import Maker, OwnCode, OwnMark
    from catalogue.specimens.services.makers import keep_maker

    years = {"from_year": 1922, "to_year": 1950}
    keep_maker(
        Maker(name="Brackwater Bottle Company"),
        marks=[OwnMark(letters="BW", frame="circle", **years)],
        codes=[OwnCode(kind="last-digit", valid_from=1922, valid_to=1950)],
    )


def dive() -> None:
    """One dive at one site."""
    from tests import factories

    factories.dive(date=datetime.date(2026, 8, 14))


def six() -> None:
    """Six crusted bottles that nobody has decided about."""
    from tests import factories

    for n in range(6):
        factories.find(f"Crusted bottle {n + 1}")


def bath() -> None:
    """A bath planned for one crusted bottle that was looked at: one press, and its clock runs."""
    from tests.care import makers

    piece = makers.crusted("Crusted bottle")
    makers.bath(piece)


def pictured() -> None:
    """A find with 40 pictures and all that can be long; one named from right to left; a sealed one."""
    from catalogue.care.models import Check
    from catalogue.photos.services import take_in
    from catalogue.specimens.models import Inscription, MarkReading, ObservedFeature
    from catalogue.specimens.services import Parts
    from tests import factories
    from tests.photos.drawn import jpeg

    factories.brackwater()
    parts = Parts(
        readings=[MarkReading(letters="BW", symbol="wave", frame="none", right="7", where="base")],
        features=[ObservedFeature(feature="crown-finish", certainty="certain")],
        inscriptions=[Inscription(text="QUILL & SONS / MARROWBY", says="bottler")],
    )
    around = {"dive": factories.dive(date=datetime.date(2024, 6, 1)), "place": factories.place()}
    sizes = {"height_mm": 241, "base_mm": 62, "story": "It lay in the silt. " * 150, "notes": "Seen. " * 300}
    find = factories.find("Ginger beer bottle", parts, stage="done", **sizes, **around)
    for n, role in enumerate(("after", "as-found", "base", *("detail",) * 37)):
        take_in(jpeg(n, width=300, height=400), subject=find, role=role)
    factories.find("Long name, no picture, " * 13, stage="done", **around)
    factories.find("زجاجة زنجبيل من مارووبي", stage="done", **around)
    Check.objects.create(find=factories.find("Sealed bottle", **around), found=["sealed"])


UNBROKEN = "W" * 200
RIGHT_TO_LEFT = "בקבוק זכוכית ירוק 12"


def long_names() -> None:
    """Two finds and all that they belong to: named by 200 letters without a space, and from right to left."""
    from catalogue.giving.services import promise
    from catalogue.specimens.models import Inscription
    from catalogue.specimens.services import Parts, set_standing
    from tests import factories

    for name in (UNBROKEN, RIGHT_TO_LEFT):
        at = factories.site(name)
        around = {
            "dive": factories.dive(at, notes=name),
            "place": factories.place(name, notes=name),
            "town": factories.town(name),
            "bottler": factories.bottler(name),
        }
        parts = Parts(inscriptions=[Inscription(text=name, says="bottler")])
        find = factories.find(name, parts, story=name, notes=name, found_with=name, height_mm=190, **around)
        set_standing(find, "free")
        promise(find, factories.person(name), note=name)


def shelf() -> None:
    """A shelf of six pieces of different heights, a box with one more, and a piece without a place."""
    from tests import factories

    place, box = factories.place("Hall case"), factories.place("Box")
    for n, height in enumerate((60, 120, 190, 240, 300, 150), 1):
        factories.find(f"Bottle {n}", place=place, height_mm=height, stage="done")
    factories.find("Stray flask", place=box, stage="done")
    factories.find("Loose jar", stage="done")


ALL = (little, maker, dive, six, bath, pictured, long_names, shelf)


def main(source: Path, folder: Path) -> None:
    import django

    django.setup()
    from django.db import connection

    for fill in ALL:
        kept = folder / f"{fill.__name__}.filled.sqlite3"
        shutil.copy(source, kept)
        connection.close()
        connection.settings_dict["NAME"] = str(kept)
        fill()
        # Whole in one file: what stands beside it (the log of writes) is not copied with it.
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    connection.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))

"""Fill a data folder with a little of everything, in a process of its own: python -m tests.browser.filled."""

import datetime


def fill() -> None:
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


if __name__ == "__main__":
    import django

    django.setup()
    fill()

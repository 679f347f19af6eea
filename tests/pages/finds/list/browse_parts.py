"""A few pieces that differ in everything the lists ask, and how a list is read in tests."""

from catalogue.specimens.models import Inscription, KnownYears, MarkReading, Specimen
from catalogue.specimens.services import Parts
from tests import factories


def five_pieces() -> dict[str, Specimen]:
    """Five pieces that differ in everything the filters ask."""
    marrowby, inchgate = factories.town("Marrowby"), factories.town("Inchgate")
    factories.brackwater()
    heron, tallow = factories.site("Heron Ledge"), factories.site("Tallow Cove")
    ginger = factories.find(
        "Aqua ginger-beer bottle",
        Parts(
            readings=[MarkReading(letters="BW", symbol="wave", frame="none", right="6")],
            inscriptions=[Inscription(text="QUILL & SONS / MARROWBY", where="body")],
        ),
        town=marrowby,
        kind="soda",
        contents="soda",
        colour="aqua",
        dive=factories.dive(heron),
        standing="free",
        stage="done",
        place=factories.place("Hall case"),
    )
    return {
        "ginger": ginger,
        "case": factories.find(
            "Case gin",
            Parts(known=[KnownYears(what="a dated seal of its set", from_year=1780, to_year=1790)]),
            town=inchgate,
            kind="case",
            colour="olive",
            site=tallow,
        ),
        "ink": factories.find(
            "Ink cone", town=marrowby, kind="ink", stage="soaking", dive=factories.dive(tallow)
        ),
        "plain": factories.find("Plain flask", notes="under the old pier, beside a whelk pot"),
        "crown": factories.find("Crown beer", kind="beer", standing="promised", stage="done"),
    }


def listed(client, query: str = "") -> list[str]:
    """Names of the finds shown, in order."""
    answer = client.get(f"/finds/{query}", follow=True)
    assert answer.status_code == 200
    return [card.find.what for card in answer.context["cards"]]


def said(client, query: str) -> list[str]:
    return [str(message) for message in client.get(f"/finds/{query}", follow=True).context["messages"]]

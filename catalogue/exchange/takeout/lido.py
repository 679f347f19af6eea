"""Finds as LIDO 1.1 (ICOM's CIDOC): one record a find; elements in the order that its schema asks for."""

from collections.abc import Iterable, Iterator
from decimal import Decimal

from .rows import FindRow, Lettering
from .xml_text import XML_DECLARATION, Markup, element, element_if

LIDO_NAMESPACE = "http://www.lido-schema.org"
GML_NAMESPACE = "http://www.opengis.net/gml"
MEASURED_SIZES = (
    ("height", "height_mm", "mm"),
    ("greatest diameter", "diameter_mm", "mm"),
    ("base diameter", "base_mm", "mm"),
    ("bore", "bore_mm", "mm"),
    ("mass", "mass_g", "g"),
    ("capacity", "capacity_ml", "ml"),
)
IN_ENGLISH = {"xml:lang": "en"}
LOCAL_TYPE = {"lido:type": "local"}
LIDO_TERMS = "http://terminology.lido-schema.org"
EXACT, ESTIMATED = ({"lido:type": f"{LIDO_TERMS}/{concept}"} for concept in ("lido00528", "lido00529"))


def lido_parts(rows: Iterable[FindRow]) -> Iterator[str]:
    """The file: one wrap, a record a find."""
    yield f'{XML_DECLARATION}<lido:lidoWrap xmlns:lido="{LIDO_NAMESPACE}" xmlns:gml="{GML_NAMESPACE}">\n'
    for row in rows:
        yield _record(row) + "\n"
    yield "</lido:lidoWrap>\n"


def _record(row: FindRow) -> Markup:
    described = element(
        "lido:descriptiveMetadata",
        _classification(row),
        _identification(row),
        element_if("lido:eventWrap", _production(row), _finding(row)),
        attributes=IN_ENGLISH,
    )
    return element(
        "lido:lido",
        element("lido:lidoRecID", row.number, attributes=LOCAL_TYPE),
        described,
        element("lido:administrativeMetadata", _about_the_record(row), attributes=IN_ENGLISH),
    )


def _term(words: str) -> Markup:
    return element("lido:term", words)


def _appellation(words: str) -> Markup:
    return element("lido:appellationValue", words)


def _note(words: str) -> Markup:
    return element_if("lido:descriptiveNoteValue", words)


def _classification(row: FindRow) -> Markup:
    held = element_if("lido:classification", _term(row.contents) if row.contents else "")
    return element(
        "lido:objectClassificationWrap",
        element("lido:objectWorkTypeWrap", element("lido:objectWorkType", _term(row.kind or row.what))),
        element_if("lido:classificationWrap", held),
    )


def _identification(row: FindRow) -> Markup:
    """Title, lettering, number and shelf, description, sizes."""
    shelf = element_if(
        "lido:repositoryLocation",
        element("lido:namePlaceSet", _appellation(row.shelf)) if row.shelf else "",
    )
    holding = element("lido:repositorySet", element("lido:workID", row.number, attributes=LOCAL_TYPE), shelf)
    told = [row.story, row.colour and f"Colour: {row.colour}", _sold(row), row.notes]
    notes = [element("lido:objectDescriptionSet", _note(words)) for words in told if words]
    return element(
        "lido:objectIdentificationWrap",
        element("lido:titleWrap", element("lido:titleSet", _appellation(row.what))),
        element_if("lido:inscriptionsWrap", *map(_inscription, (*row.inscriptions, *row.readings))),
        element("lido:repositoryWrap", holding),
        element_if("lido:objectDescriptionWrap", *notes),
        element_if("lido:objectMeasurementsWrap", *_measurements(row)),
    )


def _sold(row: FindRow) -> str:
    """What the lettering says of the trade."""
    parts = [
        row.product and f"product {row.product}",
        row.bottler and f"bottler {row.bottler}",
        row.town and f"marked for {', '.join(filter(None, [row.town, row.town_region, row.town_country]))}",
    ]
    return "; ".join(filter(None, parts))


def _inscription(each: Lettering) -> Markup:
    about = ", ".join(filter(None, [each.where, each.how, each.says, each.certainty]))
    return element(
        "lido:inscriptions",
        element("lido:inscriptionTranscription", each.text),
        element_if("lido:inscriptionDescription", _note(about)),
    )


def _measurements(row: FindRow) -> Iterator[Markup]:
    for name, field, unit in MEASURED_SIZES:
        size: Decimal | None = getattr(row, field)
        if size is not None:
            figure = f"{size.normalize():f}"
            measured = element(
                "lido:measurementSet",
                element("lido:measurementType", name),
                element("lido:measurementUnit", unit),
                element("lido:measurementValue", figure),
            )
            yield element(
                "lido:objectMeasurementsSet",
                element("lido:displayObjectMeasurements", f"{name} {figure} {unit}"),
                element("lido:objectMeasurements", measured),
            )


def _event(kind: str, *parts: Markup) -> Markup:
    """An event, nothing where nothing is known of it."""
    if not any(parts):
        return Markup("")
    return element("lido:eventSet", element("lido:event", element("lido:eventType", _term(kind)), *parts))


def _production(row: FindRow) -> Markup:
    """Who made it, as sure as it is, and when; years as numbers only where both ends are known.

    The phrase carries its doubt ("probably …"). The numbers alone would sound sure: save where it is one year
    without doubt, they say that they are estimated (``lido:type``, by the concept's address in LIDO's own
    terminology, as LIDO 1.1 asks; 1.0 had the words ``exactDate`` and ``estimatedDate``).
    """
    sure = row.maker_probability
    doubt = "" if sure is None else f" (likely, {sure:.0%} sure)"
    actor = element_if(
        "lido:eventActor",
        element("lido:displayActorInRole", f"maker: {row.maker}{doubt}") if row.maker else "",
    )
    years = Markup("")
    if row.made_from is not None and row.made_to is not None:
        kind = EXACT if row.made == f"{row.made_from}" and row.made_from == row.made_to else ESTIMATED
        years = element(
            "lido:date",
            element("lido:earliestDate", f"{row.made_from:04d}", attributes=kind),
            element("lido:latestDate", f"{row.made_to:04d}", attributes=kind),
        )
    when = element("lido:displayDate", row.made) if row.made else ""
    return _event("production", actor, element_if("lido:eventDate", when, years))


def _finding(row: FindRow) -> Markup:
    """When it came up and where it lay, as far as it is told."""
    day = row.dived_on.isoformat() if row.dived_on else ""
    when = element_if("lido:displayDate", day or row.recovered_edtf)
    if day:
        ends = (element(f"lido:{which}Date", day, attributes=EXACT) for which in ("earliest", "latest"))
        when = Markup(when + element("lido:date", *ends))
    name = ", ".join(filter(None, [row.site, row.water_body]))
    named = element("lido:namePlaceSet", _appellation(name)) if name else ""
    point = ""
    if row.latitude is not None and row.longitude is not None:
        spot = element("gml:pos", f"{row.latitude:.6f} {row.longitude:.6f}")
        point = element(
            "lido:gml", element("gml:Point", spot, attributes={"srsName": "urn:ogc:def:crs:EPSG::4326"})
        )
    place = element_if("lido:eventPlace", element_if("lido:place", named, point))
    unsure = "" if row.uncertainty_m is None else f"position uncertain by {row.uncertainty_m} m"
    depth = "" if row.depth_m is None else f"depth {row.depth_m.normalize():f} m"
    told = "; ".join(filter(None, [unsure, depth, row.where_on_site, row.lie, row.found_with]))
    return _event(
        "finding",
        element_if("lido:eventDate", when),
        place,
        element_if("lido:eventDescriptionSet", _note(told)),
    )


def _about_the_record(row: FindRow) -> Markup:
    changed = row.changed.isoformat(timespec="seconds") if row.changed else ""
    info = element_if("lido:recordMetadataDate", changed)
    return element(
        "lido:recordWrap",
        element("lido:recordID", row.number, attributes=LOCAL_TYPE),
        element("lido:recordType", _term("item")),
        element(
            "lido:recordSource",
            element("lido:legalBodyName", _appellation("private collection")),
        ),
        element_if("lido:recordInfoSet", info),
    )

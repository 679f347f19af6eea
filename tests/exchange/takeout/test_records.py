"""LIDO by the list of its mandatory elements and the order of its schema, JSON-LD by its own rules."""

import json
import xml.etree.ElementTree as ET
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from catalogue.exchange.takeout.json_ld import CONTEXT, json_ld_parts
from catalogue.exchange.takeout.lido import lido_parts
from catalogue.exchange.takeout.rows import FindRow, Lettering

NS = {"lido": "http://www.lido-schema.org", "gml": "http://www.opengis.net/gml"}
XML_LANG = "{http://www.w3.org/XML/1998/namespace}lang"
TYPE = "{http://www.lido-schema.org}type"
# The elements that LIDO 1.1 cannot be without (its schema, lido-v1.1.xsd, as in the primer's minimal record).
MANDATORY = [
    "lido:lidoRecID",
    "lido:descriptiveMetadata",
    "lido:descriptiveMetadata/lido:objectClassificationWrap/lido:objectWorkTypeWrap/lido:objectWorkType/lido:term",
    "lido:descriptiveMetadata/lido:objectIdentificationWrap/lido:titleWrap/lido:titleSet/lido:appellationValue",
    "lido:administrativeMetadata",
    "lido:administrativeMetadata/lido:recordWrap/lido:recordID",
    "lido:administrativeMetadata/lido:recordWrap/lido:recordType/lido:term",
    "lido:administrativeMetadata/lido:recordWrap/lido:recordSource/lido:legalBodyName/lido:appellationValue",
]
# Sequences of the schema, as far as they are used.
ORDER = {
    "lido": ["lidoRecID", "descriptiveMetadata", "administrativeMetadata"],
    "descriptiveMetadata": ["objectClassificationWrap", "objectIdentificationWrap", "eventWrap"],
    "objectClassificationWrap": ["objectWorkTypeWrap", "classificationWrap"],
    "objectIdentificationWrap": [
        "titleWrap",
        "inscriptionsWrap",
        "repositoryWrap",
        "objectDescriptionWrap",
        "objectMeasurementsWrap",
    ],
    "repositorySet": ["workID", "repositoryLocation"],
    "inscriptions": ["inscriptionTranscription", "inscriptionDescription"],
    "objectMeasurementsSet": ["displayObjectMeasurements", "objectMeasurements"],
    "measurementSet": ["measurementType", "measurementUnit", "measurementValue"],
    "event": ["eventType", "eventActor", "eventDate", "eventPlace", "eventDescriptionSet"],
    "eventDate": ["displayDate", "date"],
    "date": ["earliestDate", "latestDate"],
    "place": ["namePlaceSet", "gml"],
    "recordWrap": ["recordID", "recordType", "recordSource", "recordInfoSet"],
}
FULL = FindRow(
    number="2024.1.1",
    what="Soda <bottle> & stopper",
    kind="soda or mineral bottle",
    contents="ginger beer",
    product="Quill's ginger beer",
    bottler="Quill & Sons",
    town="Marrowby",
    town_region="Velshire",
    town_country="GB",
    maker="Brackwater Bottle Company",
    maker_how="likely",
    maker_probability=0.831,
    made="about 1922 to 1950",
    made_edtf="1922~/1950~",
    made_from=1922,
    made_to=1950,
    colour="aqua",
    height_mm=Decimal("240.0"),
    mass_g=Decimal("512.5"),
    base_mm=Decimal("61.0"),
    inscriptions=(Lettering("body", "QUILL / & SONS\x01", "embossed", "bottler"),),
    readings=(Lettering("base", "BW over a wave", says="maker's mark", certainty="certain"),),
    story="Came up\nat noon.",
    site="Heron Ledge",
    latitude=44.341667,
    longitude=-75.92,
    uncertainty_m=30,
    dived_on=date(2024, 6, 1),
    depth_m=Decimal("12.5"),
    shelf="Hall case, third shelf",
)
LEAST = FindRow(number="2024.0.1", what="Jar")
ROWS = [FULL, LEAST]


def records(rows: list[FindRow]) -> list[ET.Element]:
    return ET.fromstring("".join(lido_parts(rows)).encode()).findall("lido:lido", NS)


@pytest.mark.parametrize("at", [0, 1], ids=["full", "least"])
@pytest.mark.parametrize("path", MANDATORY)
def test_lido_has_its_mandatory_elements(path: str, at: int) -> None:
    found = records(ROWS)[at].findall(path, NS)
    assert found
    assert all(len(each) or (each.text or "").strip() for each in found)


@pytest.mark.parametrize("at", [0, 1])
def test_lido_has_its_mandatory_attributes(at: int) -> None:
    record = records(ROWS)[at]
    for path in ("lido:descriptiveMetadata", "lido:administrativeMetadata"):
        assert record.find(path, NS).get(XML_LANG) == "en"
    for each in [*record.findall(".//lido:lidoRecID", NS), *record.findall(".//lido:recordID", NS)]:
        assert each.get(TYPE) and each.text == record.findtext("lido:lidoRecID", None, NS)


def test_lido_keeps_the_order_of_its_schema() -> None:
    seen = set()
    for record in records(ROWS):
        for parent in record.iter():
            name = parent.tag.rpartition("}")[2]
            if name in ORDER:
                seen.add(name)
                places = [ORDER[name].index(child.tag.rpartition("}")[2]) for child in parent]
                assert places == sorted(places), name
    assert seen == set(ORDER)


def test_lido_says_who_when_where_and_how_large() -> None:
    record = records(ROWS)[0]

    def said(path: str) -> list[str]:
        return [each.text for each in record.findall(f".//lido:{path}", NS)]

    assert said("displayActorInRole") == ["maker: Brackwater Bottle Company (likely, 83% sure)"]
    assert said("earliestDate") == ["1922", "2024-06-01"] and said("latestDate") == ["1950", "2024-06-01"]
    assert said("measurementValue") == ["240", "61", "512.5"] and said("measurementUnit") == ["mm", "mm", "g"]
    assert said("inscriptionTranscription") == ["QUILL / & SONS", "BW over a wave"]
    assert record.findtext(".//gml:pos", None, NS) == "44.341667 -75.920000"
    assert said("titleSet/lido:appellationValue") == ["Soda <bottle> & stopper"]


# LIDO 1.1 (schema of 2021-12-20, earliestDate and latestDate): the type says whether the date is exact or
# estimated, by LIDO's own terminology, whose numbers for the two were read in two public converters.
EXACT = "http://terminology.lido-schema.org/lido00528"
ESTIMATED = "http://terminology.lido-schema.org/lido00529"


@pytest.mark.parametrize(
    ("words", "years", "kind"),
    [
        ("probably about 1922 to 1950", (1922, 1950), ESTIMATED),
        ("about 1922 to 1950", (1922, 1950), ESTIMATED),
        ("one of 1927, 1937, 1947", (1927, 1947), ESTIMATED),
        ("probably 1937", (1937, 1937), ESTIMATED),
        ("1937", (1937, 1937), EXACT),
    ],
)
def test_lido_dates_are_no_surer_than_the_phrase(words: str, years: tuple[int, int], kind: str) -> None:
    """The phrase with its doubt stands before the numbers, and these say what they are."""
    row = replace(ROWS[0], made=words, made_from=years[0], made_to=years[1])
    made = records([row])[0].find(".//lido:event/lido:eventDate", NS)
    assert made.findtext("lido:displayDate", None, NS) == words
    ends = [made.find(f"lido:date/lido:{name}", NS) for name in ("earliestDate", "latestDate")]
    assert [(end.text, end.get(TYPE)) for end in ends] == [(str(year), kind) for year in years]


def test_lido_day_of_a_dive_is_exact() -> None:
    [found] = [
        date
        for date in records(ROWS)[0].findall(".//lido:event/lido:eventDate/lido:date", NS)
        if date.findtext("lido:earliestDate", None, NS) == "2024-06-01"
    ]
    assert [(end.text, end.get(TYPE)) for end in found] == [("2024-06-01", EXACT)] * 2


def test_lido_of_a_find_that_nobody_knows_more_of_has_no_event() -> None:
    assert records(ROWS)[1].find(".//lido:event", NS) is None


def nodes(rows: list[FindRow], *, public: bool = False) -> list[dict]:
    whole = json.loads("".join(json_ld_parts(rows, public=public)))
    assert whole["@context"] == CONTEXT
    return whole["@graph"]


def words_in(value: object) -> set[str]:
    """Every key and type that a document says."""
    if isinstance(value, list):
        return set().union(*map(words_in, value)) if value else set()
    if not isinstance(value, dict):
        return set()
    kinds = value.get("@type", [])
    here = {*value, *([kinds] if isinstance(kinds, str) else kinds)}
    return here.union(*map(words_in, value.values()))


def test_every_word_of_json_ld_is_a_keyword_or_of_a_vocabulary_in_its_context() -> None:
    words = words_in(nodes(ROWS))
    assert {
        word for word in words if not word.startswith("@") and word.partition(":")[0] not in CONTEXT
    } == set()
    assert words & {"@id", "@type"} == {"@id", "@type"}


def test_json_ld_gives_a_likely_maker_as_likely_only() -> None:
    likely = nodes(ROWS)[0]
    assert "schema:manufacturer" not in likely and "dcterms:creator" not in likely
    named = {each["schema:name"]: each["schema:value"] for each in likely["schema:additionalProperty"]}
    assert named["Maker"] == "Brackwater Bottle Company" and named["Maker, % sure"] == 83.1
    [sure] = nodes([FindRow(number="1", what="Jar", maker="Brackwater", maker_how="by opinion")])
    assert sure["dcterms:creator"] == "Brackwater" == sure["schema:manufacturer"]["schema:name"]


def test_json_ld_has_sizes_with_units_years_as_edtf_and_a_place() -> None:
    node = nodes(ROWS)[0]
    assert node["schema:height"]["schema:value"] == 240 and node["schema:height"]["schema:unitCode"] == "MMT"
    assert node["dcterms:created"] == {"@type": "edtf:EDTF", "@value": "1922~/1950~"}
    assert node["dcterms:spatial"]["schema:geo"]["schema:longitude"] == -75.92
    assert nodes([LEAST])[0]["dcterms:title"] == "Jar" and "dcterms:spatial" not in nodes([LEAST])[0]
    assert len({node["@id"] for node in nodes(ROWS)}) == 2

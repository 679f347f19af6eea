"""What a character beside the mark would mean, said before anybody has looked for one."""

import dating
from catalogue.specimens.evidence import Evidence
from catalogue.specimens.reading.value import SIDES
from catalogue.specimens.stored_answer import maker_shares
from catalogue.specimens.tables import SHOWN_FROM

CODE_PLACES = {**SIDES, "heel": "on the heel"}
EXAMPLE = {"last-digit": "7", "last-two-digits": "37", "full-year": "1937"}


def code_hint(evidence: Evidence, finding: dating.Finding, reference: dating.Reference) -> str:
    """One sentence where the likely maker dated its ware and no character beside its mark is filled in."""
    likeliest = next(iter(maker_shares(finding)), None)
    if likeliest is None or likeliest.share < SHOWN_FROM or _any_side(evidence):
        return ""
    codes = [code for code in reference.codes_of.get(likeliest.mark_id, ()) if code.kind in EXAMPLE]
    if not codes:
        return ""
    example = EXAMPLE[codes[0].kind]
    would = dating.what_would(
        example,
        codes,
        contents=evidence.find.contents or None,
        bottler=evidence.bottler.name if evidence.bottler else None,
        product=evidence.find.product.name if evidence.find.product else None,
        region=evidence.find.region or None,
    )
    where = "" if codes[0].position == "any" else f" {CODE_PLACES.get(codes[0].position, codes[0].position)}"
    if not would.years:
        return f"Look{where or ' beside the mark'}: this maker put a year there."
    return f"Look beside the mark: {example}{where} would be {would.words}."


def _any_side(evidence: Evidence) -> bool:
    return any(any(reading.beside.values()) for reading in evidence.readings)

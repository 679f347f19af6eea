"""Ask the dating service and store its answer with the find."""

from typing import Any

import dating
from catalogue.specimens.columns import columns_of
from catalogue.specimens.evidence import Evidence, evidence_of, only_known
from catalogue.specimens.makers_of_marks import maker_shown
from catalogue.specimens.models import Maker, Specimen
from catalogue.specimens.tables import current_reference

STORED = (
    "made_from",
    "made_to",
    "made_best",
    "made_words",
    "made_edtf",
    "made_ruler",
    "made_decades",
    "made_first",
    "made_last",
    "made_spread",
    "made_with",
    "made_in",
    "maker",
    "maker_how",
    "maker_probability",
)


def date_evidence(
    evidence: Evidence,
    *,
    reasons: bool = True,
    look_next: bool = False,
    reference: dating.Reference | None = None,
) -> dating.Finding:
    """The dating service's answer for evidence that need not be saved. Raises dating.CaseError."""
    reference = reference or current_reference()
    case = dating.Case.from_dict(only_known(evidence.case(), reference), reference)
    return dating.assess(case, reference, look_next=look_next, reasons=reasons)


def redate(find: Specimen, *, reference: dating.Reference | None = None) -> Specimen:
    """Refresh the stored window and maker of one find from its stored evidence, and save them."""
    reference = reference or current_reference()
    evidence = evidence_of(find)
    store_answer(find, evidence, date_evidence(evidence, reasons=False, reference=reference), reference)
    find.save(update_fields=STORED)
    return find


def store_answer(
    find: Specimen, evidence: Evidence, finding: dating.Finding, reference: dating.Reference
) -> None:
    """Copy an answer into the find's columns without saving."""
    # The reasons themselves are left out when many are dated, so they can't tell.
    informed = evidence.says_something()
    for name, value in answer_of(finding, reference, evidence.maker_opinion, informed).items():
        setattr(find, name, value)


def answer_of(
    finding: dating.Finding,
    reference: dating.Reference,
    opinion: Maker | None,
    informed: bool,
) -> dict[str, Any]:
    """An answer as the columns in `STORED` keep it. `informed`: whether there was anything to go by."""
    shown = maker_shown(finding, opinion)
    return columns_of(finding, informed) | {
        "made_with": reference.version,
        "maker": shown.maker,
        "maker_how": shown.how,
        "maker_probability": shown.probability,
    }

"""What stands in the form of labels from last time, and what follows from choosing another kind or sheet."""

from typing import Any

from django.http import QueryDict

from catalogue.labels.label_text import LABEL_KINDS, LabelKind
from catalogue.labels.sheet_memory import use_of, usual_print
from catalogue.labels.sheets import Sheet
from catalogue.pages.labels.pieces import key_in
from catalogue.shelves.models import Place


def kind_asked(sent: QueryDict) -> LabelKind:
    """The kind that is chosen or that the address asks for, else the one printed last."""
    if "kind" not in sent and key_in(sent, "own_label") is not None:
        return usual_print("place").kind
    return LABEL_KINDS.get(sent.get("kind", "")) or usual_print().kind


def first_values(sent: QueryDict) -> dict[str, Any]:
    """What stands in the form before anything is chosen."""
    usual = usual_print("place" if key_in(sent, "own_label") is not None else sent.get("kind", ""))
    use = use_of(usual.sheet)
    key = key_in(sent, "place")
    place = Place.objects.filter(pk=key).first() if key is not None else None
    return {
        "kind": usual.kind.key,
        "parts": sorted(usual.kind.parts),
        "sheet": usual.sheet,
        "outlines": usual.outlines,
        "start_at": use.next_label,
        "right_mm": use.right_mm,
        "down_mm": use.down_mm,
        "own_label": key_in(sent, "own_label"),
        "heading": str(place) if place else "",
    }


def followed_by(posted: QueryDict) -> tuple[QueryDict, set[str]]:
    """What was sent, with what follows from another kind or another sheet, and which of the two it was.

    `parts_of`, `start_of` and `start_shown` tell for which kind and sheet the rest of the page stood there.
    """
    sent, followed = posted.copy(), set[str]()
    kind, shown_kind = sent.get("kind", ""), sent.get("parts_of")
    usual = usual_print(kind) if kind in LABEL_KINDS and shown_kind != kind else None
    if usual:
        sent.setlist("parts", sorted(usual.kind.parts))
        if shown_kind is not None:
            followed.add("kind")
            if sent.get("sheet") == sent.get("start_of"):
                sent["sheet"] = usual.sheet
    sheet, shown_sheet = sent.get("sheet", ""), sent.get("start_of")
    if shown_sheet is not None and shown_sheet != sheet:
        followed.add("sheet")
        use = use_of(sheet)
        sent["right_mm"], sent["down_mm"] = str(use.right_mm), str(use.down_mm)
        if sent.get("start_at") == sent.get("start_shown"):
            sent["start_at"] = str(use.next_label)
    return sent, followed


def used_meanwhile(sent: QueryDict, sheet: Sheet, digest: str) -> str:
    """What is said where another print took labels of this sheet since the page was shown; empty where not.

    The same print again (a second tap, a reprint) takes no further labels, and whoever typed where to begin
    has looked at the sheet. A page of single labels has none that could be used up.
    """
    shown = sent.get("last_print", "")
    if not shown or sheet.per_page == 1 or sent.get("start_at") != sent.get("start_shown"):
        return ""
    use = use_of(sheet.key)
    if shown == use.last_print or digest in use.prints:
        return ""
    return (
        f"Something was printed on this sheet meanwhile: the next unused label is {use.next_label}. "
        f"Type that, or print once more to begin at {sent['start_at']} all the same."
    )

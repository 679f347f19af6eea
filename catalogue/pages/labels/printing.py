"""The page of labels: what is printed of which pieces on which sheet, shown before, then made as PDF."""

from collections.abc import Sequence
from typing import Any

from django.http import HttpResponse, QueryDict
from django.shortcuts import render

from catalogue.common.models import HouseSettings
from catalogue.labels.code_address import code_choices, remember_code, usual_code
from catalogue.labels.label_text import LABEL_KINDS, LabelKind, LabelText
from catalogue.labels.print_picture import print_picture
from catalogue.labels.sheet_memory import (
    note_print,
    print_digest,
    set_back,
    sheet_of,
    use_of,
)
from catalogue.labels.sheet_pdf import (
    LabelError,
    code_trouble,
    label_sheet,
    letters_trouble,
    on_pages,
    test_page,
)
from catalogue.labels.sheets import Sheet, SheetError
from catalogue.labels.texts_of import (
    GROUPINGS,
    list_of_finds,
    place_code,
    texts_of_finds,
    texts_of_groups,
    texts_of_places,
)
from catalogue.pages.labels.forms import SheetForm
from catalogue.pages.labels.last_choices import first_values, followed_by, kind_asked, used_meanwhile
from catalogue.pages.labels.pdf_answer import pdf_answer
from catalogue.pages.labels.pieces import key_in, pieces_named, places_asked, typed_numbers
from catalogue.pages.parts.htmx import HtmxRequest
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.specimens.models import Specimen
from catalogue.specimens.named_finds import NamedFinds
from catalogue.specimens.number_list import as_ranges

# From so many on, pieces stand in the box as ranges, not each with a tick of its own.
TICKED_ONE_BY_ONE = 60
# Pieces that a picture of the print reads: more than any sheet has labels, and a page of a list has lines.
SHOWN_AT_MOST = 300


@GET_OR_POST
def labels(request: HtmxRequest) -> HttpResponse:
    """Choose a sheet for the finds named in the address, or typed; post shows it, or makes the PDF."""
    house = HouseSettings.current()
    if request.method != "POST":
        asked = request.GET
        form = SheetForm(
            initial=first_values(asked) | {"code": usual_code(house, request)},
            codes=code_choices(house, request),
            about=kind_asked(asked),
        )
        named = pieces_named(asked)
        return _page(request, form, named, wrong=named.complaints() if asked else [])
    sent, followed = followed_by(request.POST)
    if "set_back" in sent:
        sent["start_at"] = str(set_back(sent.get("sheet", "")).next_label)
    named = pieces_named(sent)
    form = SheetForm(
        sent,
        codes=code_choices(house, request),
        about=LABEL_KINDS.get(sent.get("kind", ""), kind_asked(sent)),
    )
    if request.htmx:
        return _seen(request, form, named, followed)
    if "see" in sent or "set_back" in sent:
        form.is_valid()
        return _page(request, form, named, wrong=named.complaints())
    return _print(request, form, named, house)


def _print(request: HtmxRequest, form: SheetForm, named: NamedFinds, house: HouseSettings) -> HttpResponse:
    if not form.is_valid():
        return _page(request, form, named, status=422)
    chosen = form.cleaned_data
    shift = (chosen["right_mm"], chosen["down_mm"])
    try:
        sheet = sheet_of(chosen["sheet"])
        if "test" in request.POST:
            return pdf_answer(test_page(sheet, offset_mm=shift), "test-page")
        kind = LABEL_KINDS[chosen["kind"]].with_parts(chosen["parts"])
        of_finds = kind.about != "place"
        wrong = named.too_many or "without" not in request.POST and named.complaints()
        if of_finds and (wrong or not named.keys):
            said = named.complaints() or ["Choose at least one piece."]
            return _page(request, form, named, status=422, wrong=said)
        base = chosen["base"] or usual_code(house, request)
        texts = on_pages(_texts(form, named, kind, base), sheet, kind)
        if not texts:
            form.add_error("group_by", "None of these pieces has one, so there is no heading to print.")
            return _page(request, form, named, status=422)
        troubles = [code_trouble(texts, sheet, kind), letters_trouble(texts, kind)]
        if any(troubles) and "anyway" not in request.POST:
            for trouble in filter(None, troubles):
                form.add_error(None, trouble)
            return _page(request, form, named, status=422, trouble=True)
        what = {name: chosen[name] for name in ("sheet", "kind", "parts", "group_by", "heading", "start_at")}
        digest = print_digest(what, [*named.keys.values(), *(text.code for text in texts if not of_finds)])
        if used := used_meanwhile(request.POST, sheet, digest):
            form.add_error("start_at", used)
            return _page(request, form, named, status=422)
        pdf = label_sheet(
            texts,
            sheet,
            start_at=chosen["start_at"],
            offset_mm=shift,
            outlines=chosen["outlines"],
            kind=kind,
        )
    except (LabelError, SheetError) as error:
        _add_error(form, error)
        return _page(request, form, named, status=422)
    if kind.has_code:
        remember_code(house, base)
    note_print(
        sheet,
        kind,
        start_at=chosen["start_at"],
        count=len(texts),
        digest=digest,
        shift=shift,
        outlines=chosen["outlines"],
    )
    return pdf_answer(pdf, "labels")


def _add_error(form: SheetForm, error: LabelError | SheetError) -> None:
    said = f"{error.why[:1].upper()}{error.why[1:]}." if isinstance(error, SheetError) else str(error)
    form.add_error(error.field if error.field in form.fields else None, said)


def _texts(
    form: SheetForm, named: NamedFinds, kind: LabelKind, base: str, most: int | None = None
) -> list[LabelText]:
    """What stands on each label; of `most` pieces at most."""
    chosen, keys = form.cleaned_data, list(named.keys.values())[:most]
    if kind.about == "place":
        return texts_of_places(places_asked(chosen["own_label"], inside=chosen["inside"]), base)
    if kind.about == "group":
        return texts_of_groups(keys, GROUPINGS[chosen["group_by"] or "town"])
    if kind.about == "list":
        assert isinstance(form.data, QueryDict)
        place = key_in(form.data, "box")
        code = place_code(base, place) if place is not None else ""
        return [list_of_finds(keys, title=chosen["heading"], code=code)] if keys else []
    return texts_of_finds(keys, base, kind)


def _picture(request: HtmxRequest, form: SheetForm, named: NamedFinds) -> dict[str, Any]:
    """The picture of the print for what is chosen so far, or why there is none."""
    if not form.is_bound:
        form = SheetForm(
            _as_sent(form, request.GET),
            codes=code_choices(HouseSettings.current(), request),
            about=form.about,
        )
    if not form.is_valid():
        said = [str(error) for errors in form.errors.values() for error in errors]
        return {"picture_missing": said[:1]}
    chosen = form.cleaned_data
    kind = LABEL_KINDS[chosen["kind"]].with_parts(chosen["parts"])
    base = chosen["base"] or usual_code(HouseSettings.current(), request)
    try:
        sheet = sheet_of(chosen["sheet"])
        texts = _texts(form, named, kind, base, SHOWN_AT_MOST)
        drawn = print_picture(texts, sheet, kind, start_at=chosen["start_at"])
    except (LabelError, SheetError) as error:
        return {"picture_missing": [str(error)]}
    if drawn is None:
        return {"picture_missing": ["Choose a piece, and its label is shown here."]}
    return {
        "picture": drawn,
        "picture_notes": [n for n in (code_trouble(texts, sheet, kind), letters_trouble(texts, kind)) if n],
        "prints": _how_many(kind, named, texts, sheet),
    }


def _how_many(kind: LabelKind, named: NamedFinds, texts: Sequence[LabelText], sheet: Sheet) -> str:
    count = len(named.keys) if kind.about == "find" else len(on_pages(texts, sheet, kind))
    what = "page" if kind.about == "list" else "label"
    return f"1 {what}" if count == 1 else f"{count:,} {what}s"


def _as_sent(form: SheetForm, asked: QueryDict) -> QueryDict:
    """The form's first values as if they were sent, so that the picture is of what stands there."""
    sent = QueryDict(mutable=True)
    for name in form.fields:
        value = form[name].value()
        if isinstance(value, list | tuple):
            sent.setlist(name, [str(each) for each in value])
        elif value is not None and value is not False:
            sent[name] = str(value)
    sent["box"] = asked.get("place", "")
    return sent


def _page(
    request: HtmxRequest,
    form: SheetForm,
    named: NamedFinds,
    status: int = 200,
    *,
    trouble: bool = False,
    wrong: Sequence[str] = (),
) -> HttpResponse:
    """The form again, with every number as it was typed where one of them is wrong."""
    sent = request.POST if request.method == "POST" else request.GET
    few = len(named.keys) <= TICKED_ONE_BY_ONE and not wrong
    finds = list(Specimen.objects.filter(pk__in=named.keys.values())) if few else []
    order = {key: n for n, key in enumerate(named.keys.values())}
    typed = " ".join([*sent.getlist("find"), typed_numbers(sent)]).strip()
    context = _choices(form, sent) | {
        "finds": sorted(finds, key=lambda find: order[find.pk]),
        "typed": "" if finds else typed if wrong else as_ranges(named.keys),
        "wrong": wrong if form.about.about != "place" else [],
        "may_leave_out": bool(wrong and named.keys),
        "count": len(named.keys),
        "trouble": trouble,
    }
    return render(
        request, "pages/labels/labels.html", context | _picture(request, form, named), status=status
    )


def _seen(request: HtmxRequest, form: SheetForm, named: NamedFinds, followed: set[str]) -> HttpResponse:
    """The picture alone, and those choices that follow from another kind or sheet."""
    context = _choices(form, request.POST) | _picture(request, form, named) | {"followed": followed}
    return render(request, "pages/labels/seen.html", context)


def _choices(form: SheetForm, sent: QueryDict) -> dict[str, Any]:
    key = str(form["sheet"].value() or "")
    use = use_of(key)
    try:
        per_page = sheet_of(key).per_page
    except SheetError:
        per_page = 1
    place = key_in(sent, "box" if form.is_bound else "place")
    return {"form": form, "kind": form.about, "use": use, "per_page": per_page, "box": place}

"""What a code may be bound to: a bottler, a product, contents, a region, one works, some of the marks."""

from typing import TYPE_CHECKING, Any

from django import forms

from catalogue.common.limits import some_letter
from catalogue.specimens.models import OwnCode, Works
from catalogue.specimens.services.towns import bottler_named, product_named

if TYPE_CHECKING:
    RowSet = forms.BaseInlineFormSet[Any, Any, Any]

NAMED = ("bottler", "product", "works")


def name_field(label: str, listed: str, help_text: str = "") -> forms.CharField:
    """A name typed or chosen from a list; empty where the code is not bound to it."""
    return forms.CharField(
        label=label,
        required=False,
        max_length=200,
        validators=[some_letter],
        widget=forms.TextInput(attrs={"list": listed, "autocomplete": "off"}),
        help_text=help_text,
    )


def names_as_typed(form: "forms.ModelForm[Any]") -> dict[str, str]:
    """The names a sound row is bound to, also those that are not on record yet."""
    if not form.is_bound or not hasattr(form, "cleaned_data"):
        return {}
    return {name: form.cleaned_data.get(f"{name}_name", "") for name in NAMED}


def offer_marks(codes: "RowSet", marks: "RowSet") -> None:
    """Let each code choose among the marks of the form, which may not be saved yet: they go by their row."""
    listed = [(n, form) for n, form in enumerate(marks.forms) if _says(form)]
    choices = [(str(n), _called(form, n)) for n, form in listed]
    row_of = {form.instance.pk: str(n) for n, form in listed if form.instance.pk}
    for form in codes.forms:
        field = form.fields["for_marks"]
        field.choices = choices
        if form.instance.pk:
            form.initial["for_marks"] = [row_of[m.pk] for m in form.instance.marks.all() if m.pk in row_of]
        # with one mark there is nothing to choose, unless the choice was made before
        form.offers_marks = len(choices) > 1 or bool(form["for_marks"].value())


def check_bindings(codes: "RowSet", marks: "RowSet", works: "RowSet") -> bool:
    """Whether what the codes are bound to stays in the form; a complaint is put beside its field."""
    gone = {str(n) for n, form in enumerate(marks.forms) if form in marks.deleted_forms}
    for form in _kept(codes):
        chosen = set(form.cleaned_data.get("for_marks", ()))
        if chosen and chosen <= gone:
            form.add_error("for_marks", "These marks are being taken out: choose others, or none.")
        if form.cleaned_data.get("works_name") and _works_meant(form, works) is None:
            form.add_error("works_name", "No works of that name below. Add it there first, under “Works”.")
    return not any(form.errors for form in codes.forms)


def bind(codes: "RowSet", marks: "RowSet", works: "RowSet") -> list[tuple[OwnCode, list[Any]]]:
    """Put the names on the codes about to be saved; returns which marks each changed one is for."""
    only = []
    for form in _kept(codes):
        if not form.has_changed():
            continue
        code, data = form.instance, form.cleaned_data
        code.bottler = bottler_named(data.get("bottler_name", ""))
        code.product = product_named(data.get("product_name", ""), code.bottler)
        code.works = _works_meant(form, works)
        chosen = [marks.forms[int(n)] for n in data.get("for_marks", ())]
        only.append((code, [mark.instance for mark in chosen if mark not in marks.deleted_forms]))
    return only


def _kept(codes: "RowSet") -> list[Any]:
    return [form for form in codes.forms if _says(form) and form not in codes.deleted_forms]


def _says(form: "forms.ModelForm[Any]") -> bool:
    return bool(form.instance.pk or (form.is_bound and form.has_changed()))


def _called(form: "forms.ModelForm[Any]", number: int) -> str:
    typed = str(form["letters"].value() or form["symbol"].value() or "").strip()[:40]
    frame = str(form["frame"].value() or "none")
    shape = "" if frame in ("none", "") else f" in a {frame}"
    return f"{typed or 'mark'}{shape} (mark {number + 1})"


def _works_meant(form: "forms.ModelForm[Any]", works: "RowSet") -> Works | None:
    """The works row that the code names; renamed in the same go, it is still the one that was stored."""
    typed = form.cleaned_data.get("works_name", "").strip()
    kept = [row for row in works.forms if row not in works.deleted_forms and _says(row)]
    for row in kept:
        if row.cleaned_data.get("name", "").casefold() == typed.casefold() and typed:
            meant: Works = row.instance
            return meant
    stored = form.instance.works
    if stored is not None and typed and typed == form.initial.get("works_name"):
        return next((row.instance for row in kept if row.instance.pk == stored.pk), None)
    return None

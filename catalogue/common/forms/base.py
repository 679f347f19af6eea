"""The one base of every form that writes rows, and the two forms that most pages derive from."""

from typing import TYPE_CHECKING, Any

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.text import Truncator, get_text_list

from .idempotency_key import KEY_FIELD, key_input, take_objection
from .optimistic_lock import changed_by_others, digests_shown, stored_text, with_stored
from .plain_errors import PlainErrors
from .renderer import say_blank_choices

if TYPE_CHECKING:

    class ModelFormBase(forms.ModelForm[Any]):
        """Django's own form of a record, with what its published types leave out."""

        def _save_m2m(self) -> None: ...
        def _post_clean(self) -> None: ...
        def _get_validation_exclusions(self) -> set[str]: ...
        def _update_errors(self, errors: ValidationError) -> None: ...
else:
    ModelFormBase = forms.ModelForm


# Sent by the button that takes a record out of the bin and saves the form.
TAKE_OUT = "take-out"
TAKE_OUT_BUTTON = SafeString(
    f'<p class="acts"><button class="btn" name="{TAKE_OUT}" value="yes">Take it out and save</button></p>'
)
CHANGED_MEANWHILE = "Nothing of this page is saved yet: look at it, then save again."
LONGEST_STORED = 200


class WritingForm(PlainErrors):
    """Mixin under every form that writes rows (`tests/house/test_forms.py` holds to it).

    What all of them send along stands here, in one place: the idempotency key, and the version of what they
    show, an optimistic lock on each field. What another page changed since is said before anything is saved:
    fields not touched here show it, and what was typed here stays.
    """

    KEY_FIELD = KEY_FIELD
    VERSION_FIELD = "seen"

    data: Any
    prefix: str | None
    in_bin = False
    # Said that another page changed a field of it.
    told_meanwhile = False

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        form: Any = self
        say_blank_choices(form.fields.values())

    @property
    def shows_record(self) -> bool:
        """Whether its fields begin with what is stored, and may be out of date when they come back."""
        return False

    @property
    def carried(self) -> SafeString:
        """The hidden fields of all this; a template says it once in each form, beside the CSRF token."""
        return key_input() + self.version_input + self.way_out_of_bin

    @property
    def way_out_of_bin(self) -> SafeString:
        """The button that takes the record out of the bin and saves; empty where it does not lie there."""
        if self.in_bin:
            return TAKE_OUT_BUTTON
        # Pressed already, with a mistake in a field: it stays in the bin until the form is saved.
        pressed = TAKE_OUT in (self.data or {})
        return SafeString(f'<input type="hidden" name="{TAKE_OUT}" value="yes">' if pressed else "")

    @property
    def version_input(self) -> SafeString:
        """The hidden field of the version alone, for one of several forms that are sent together."""
        if not self.shows_record:
            return SafeString("")
        form: Any = self
        name = form.add_prefix(self.VERSION_FIELD)
        return format_html(
            '<input type="hidden" name="{}" value="{}" autocomplete="off">', name, digests_shown(form)
        )

    def full_clean(self) -> None:
        """Check everything; then say what keeps it from being kept. A row leaves that to its whole form."""
        form: Any = self
        untouched: set[str] = set()
        both: set[str] = set()
        if form.is_bound and self.shows_record and self.version:
            untouched, both = changed_by_others(form, self.version)
            if untouched:
                self.data = with_stored(form, untouched)
        parent: Any = super()
        parent.full_clean()
        if untouched or both:
            self._say_meanwhile(untouched, both)
        objection = take_objection() if form.is_bound and not self.prefix else None
        if objection:
            self.in_bin = objection.in_bin
            form.add_error(None, objection.words)

    def _say_meanwhile(self, untouched: set[str], both: set[str]) -> None:
        form: Any = self
        self.told_meanwhile = True
        labels = [str(form[name].label).lower() for name in form.fields if name in untouched | both]
        named = get_text_list(labels, "and")
        form.add_error(None, f"Another page changed {named} meanwhile. {CHANGED_MEANWHILE}")
        for name in both:
            stored = Truncator(" ".join(self._stored_words(name).split())).chars(LONGEST_STORED)
            form.add_error(name, f"Meanwhile it says: {stored or 'nothing'}. What you typed is still here.")

    def _stored_words(self, name: str) -> str:
        """A stored value as a person reads it: of a choice its label."""
        form: Any = self
        text = stored_text(form, name)
        labels = {str(key): str(label) for key, label in getattr(form.fields[name], "choices", ())}
        return labels.get(text, text)

    @property
    def idempotency_key(self) -> str:
        """The key that this form was sent with; empty where there was none."""
        return self._sent(self.KEY_FIELD)

    @property
    def version(self) -> str:
        """The version of the record as the person last saw it; empty where the form carries none."""
        prefix = getattr(self, "prefix", None)
        return self._sent(f"{prefix}-{self.VERSION_FIELD}" if prefix else self.VERSION_FIELD)

    def _sent(self, name: str) -> str:
        value = (self.data or {}).get(name, "")
        return value if isinstance(value, str) else ""


class HouseForm(WritingForm, forms.Form):
    """A form whose fields carry their help and errors for a screen reader."""

    required_css_class = ""


class RecordForm(WritingForm, ModelFormBase):
    """A form of one row, new or stored."""

    @property
    def shows_record(self) -> bool:
        return self.instance.pk is not None

    @property
    def known_as(self) -> str:
        """The stored name of the record that it changes, for the page's heading; empty for a new record.

        Checking a form writes what was typed into the record in hand, also where it is refused.
        """
        return str(self.initial.get("name", "")) if self.shows_record else ""


class HouseModelForm(RecordForm):
    """Saves only what was changed, so that two people editing one record don't undo each other.

    What the database would refuse is said by its field: constraints are checked also where they leave
    the bin out, which Django skips because no form shows that column.
    """

    def changed_columns(self) -> list[str]:
        """Names of the model's own columns that this form changed."""
        columns = {field.name for field in self.instance._meta.concrete_fields}
        return [name for name in self.changed_data if name in columns]

    def save(self, commit: bool = True) -> Any:
        if commit and not self.instance._state.adding:
            self.instance.save(update_fields=self.changed_columns())
            self._save_m2m()
            return self.instance
        return super().save(commit)

    def _get_validation_exclusions(self) -> set[str]:
        return super()._get_validation_exclusions() - {"binned_at"}

    def _update_errors(self, errors: ValidationError) -> None:
        """Move what a constraint says of the whole record to the field that it is about."""
        found = errors.error_dict if hasattr(errors, "error_dict") else {NON_FIELD_ERRORS: errors.error_list}
        fields = self._fields_by_message()
        moved: dict[str, list[ValidationError]] = {}
        for name, listed in found.items():
            for error in listed:
                target = fields.get(str(error.message), name) if name == NON_FIELD_ERRORS else name
                moved.setdefault(target, []).append(error)
        super()._update_errors(ValidationError(moved))

    def _fields_by_message(self) -> dict[str, str]:
        by_message = {}
        for _model, constraints in self.instance.get_constraints():
            for constraint in constraints:
                named = [name for name in getattr(constraint, "fields", ()) if name in self.fields]
                if named:
                    message = constraint.get_violation_error_message()
                    by_message[message] = "name" if "name" in named else named[-1]
        return by_message

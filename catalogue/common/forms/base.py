"""The one base of every form that writes rows, and the two forms that most pages derive from."""

from typing import TYPE_CHECKING, Any

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError

from .idempotency_key import KEY_FIELD

if TYPE_CHECKING:

    class ModelFormBase(forms.ModelForm[Any]):
        """Django's own form of a record, with what its published types leave out."""

        def _save_m2m(self) -> None: ...
        def _post_clean(self) -> None: ...
        def _get_validation_exclusions(self) -> set[str]: ...
        def _update_errors(self, errors: ValidationError) -> None: ...
else:
    ModelFormBase = forms.ModelForm


class WritingForm:
    """Mixin under every form that writes rows (`tests/house/test_forms.py` holds to it).

    What all of them send along stands here, in one place: the idempotency key and the version that the
    optimistic lock compares.
    """

    KEY_FIELD = KEY_FIELD
    VERSION_FIELD = "seen"

    data: Any

    @property
    def idempotency_key(self) -> str:
        """The key that this form was sent with; empty where there was none."""
        return self._sent(self.KEY_FIELD)

    @property
    def version(self) -> str:
        """The version of the record as the person last saw it; empty where the form carries none."""
        return self._sent(self.VERSION_FIELD)

    def _sent(self, name: str) -> str:
        value = (self.data or {}).get(name, "")
        return value if isinstance(value, str) else ""


class HouseForm(WritingForm, forms.Form):
    """A form whose fields carry their help and errors for a screen reader."""

    required_css_class = ""


class HouseModelForm(WritingForm, ModelFormBase):
    """Saves only what was changed, so that two people editing one record don't undo each other.

    What the database would refuse is said by its field: constraints are checked also where they leave
    the bin out, which Django skips because no form shows that column.
    """

    def changed_columns(self) -> list[str]:
        """Names of the model's own columns that this form changed."""
        columns = {field.name for field in self.instance._meta.concrete_fields}
        return [name for name in self.changed_data if name in columns]

    def save(self, commit: bool = True) -> Any:
        if commit and self.instance.pk is not None:
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

"""How a form of the house behaves."""

from typing import Any

from django import forms


class HouseForm(forms.Form):
    """A form whose fields carry their help and errors for a screen reader."""

    required_css_class = ""


class HouseModelForm(forms.ModelForm):
    """Saves only what was changed, so that two people editing one record don't undo each other."""

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

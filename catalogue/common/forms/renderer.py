"""Form renderer: one set of field markup (Django's field groups) for every form.

Templates say ``{{ form.name.as_field_group }}``; what that draws stands in ``templates/parts/field.html``.
"""

from django.forms import BoundField
from django.forms.renderers import TemplatesSetting
from django.utils.safestring import SafeString


class HouseBoundField(BoundField):
    """A field of a form as templates meet it."""

    def as_wide_group(self) -> SafeString:
        """The field group over the whole width of its block."""
        return self.render(context={**self.get_context(), "wide": True})


class FieldGroupRenderer(TemplatesSetting):
    """Draws fields with the project's own template, found and cached like every other template."""

    field_template_name = "parts/field.html"
    bound_field_class = HouseBoundField

"""Idempotency key in a form that has no form object: `{% form_key %}` beside `{% csrf_token %}`.

Templates that show a form object say `{{ form.carried }}` instead, which carries its version as well.
"""

from django import template
from django.utils.safestring import SafeString

from catalogue.common.forms.idempotency_key import key_input

register = template.Library()


@register.simple_tag
def form_key() -> SafeString:
    """The hidden field of a new key."""
    return key_input()

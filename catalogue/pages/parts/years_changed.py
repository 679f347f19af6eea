"""How many finds are dated otherwise by what was just done."""

from django.utils.translation import ngettext


def phrases(changed: int) -> str:
    """How many finds are now dated otherwise, in a sentence."""
    if not changed:
        return "No find's years changed."
    return ngettext("The years of %d find changed.", "The years of %d finds changed.", changed) % changed

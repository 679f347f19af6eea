"""What is still looked for of one maker, town, bottler or product, for its page."""

from typing import Any

from catalogue.specimens.models import Wish


def wishes_here(subject: Any) -> list[Wish]:
    """Open wishes of it, as a list. One query."""
    rows = Wish.objects.still_open().select_related("product", "bottler__town", "town", "maker")
    return list(rows.filter(**{str(subject._meta.model_name): subject}))

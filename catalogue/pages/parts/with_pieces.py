"""Bottlers, products and makers with how many of some pieces each has."""

from typing import Any

from django.db.models import Count, Q, QuerySet


def with_pieces(rows: QuerySet[Any], pieces: Q) -> QuerySet[Any]:
    """The rows with `pieces`, how many of their finds fit `pieces` (said of `finds__…`), most first."""
    counted = Count("finds", filter=pieces, distinct=True)
    found: QuerySet[Any] = rows.annotate(pieces=counted).distinct().order_by("-pieces", "name")
    return found

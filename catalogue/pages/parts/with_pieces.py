"""Bottlers, products and makers with how many of some pieces each has."""

from typing import TypeVar

from django.db.models import Count, Model, Q, QuerySet

Row = TypeVar("Row", bound=Model)


def with_pieces(rows: QuerySet[Row], pieces: Q) -> QuerySet[Row]:
    """The rows with `pieces`, how many of their finds fit `pieces` (said of `finds__…`), most first."""
    counted = Count("finds", filter=pieces, distinct=True)
    return rows.annotate(pieces=counted).distinct().order_by("-pieces", "name")

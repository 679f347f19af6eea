"""Judge of every query that the tests ask: what may be blank says at which end the blank ones stand.

SQLite puts them at the beginning and PostgreSQL at the end, so an order that leaves it open is two orders.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from django.db.models import Aggregate, Case, Func, Q, Subquery, Value
from django.db.models.expressions import Col, CombinedExpression, Ref
from django.db.models.functions import Coalesce
from django.db.models.lookups import IsNull, Lookup
from django.db.models.sql.compiler import SQLCompiler
from django.db.models.sql.constants import LOUTER

WHERE_BLANK = "asc(nulls_last=True) or desc(nulls_last=True)"


def may_be_blank(query: Any, value: Any) -> bool:
    """Whether this expression of a query has no value in some row."""
    if isinstance(value, Ref):
        return may_be_blank(query, value.source)
    if isinstance(value, Col):
        joined = query.alias_map.get(value.alias)
        beside = joined is not None and getattr(joined, "join_type", None) == LOUTER
        return (value.target.null or beside) and not _filled(query.where, value)
    if isinstance(value, Aggregate):
        # Of no group: a count is 0, the greatest of rows that are there has a value where the column has.
        return value.empty_result_set_value is None and any(
            may_be_blank(query, each) for each in value.get_source_expressions() if each is not None
        )
    if isinstance(value, Value):
        return value.value is None
    if isinstance(value, Subquery):
        return True
    if isinstance(value, Coalesce):
        return all(may_be_blank(query, each) for each in value.get_source_expressions())
    if isinstance(value, Case):
        results = [*(case.result for case in value.cases), value.default]
        return any(may_be_blank(query, each) for each in results)
    if isinstance(value, Func | CombinedExpression):
        return any(may_be_blank(query, each) for each in value.get_source_expressions() if each is not None)
    return False


def _filled(where: Any, column: Col) -> bool:
    """Whether the rows asked for have a value in this column, by a condition that all of them meet."""
    if isinstance(where, Lookup):
        says_blank = isinstance(where, IsNull) and where.rhs is True
        return where.lhs == column and not says_blank
    children = getattr(where, "children", ())
    if getattr(where, "connector", Q.AND) != Q.AND:
        return False
    if where.negated:
        return any(isinstance(c, IsNull) and c.rhs is True and c.lhs == column for c in children) and (
            len(children) == 1
        )
    return any(_filled(each, column) for each in children)


def order_left_open(query: Any, ordering: list[Any]) -> list[Any]:
    """The columns of an order that may be blank and do not say where the blank ones stand."""
    return [
        each.expression
        for each in ordering
        if each.nulls_first is None and each.nulls_last is None and may_be_blank(query, each.expression)
    ]


@contextmanager
def orders_judged() -> Iterator[None]:
    """While it lasts, a query of the catalogue whose order differs between engines raises AssertionError."""
    plain = SQLCompiler.get_order_by

    def judged(self: SQLCompiler) -> list[Any]:
        result = plain(self)
        model = self.query.model
        if result and model is not None and model.__module__.startswith("catalogue."):
            left_open = order_left_open(self.query, [each for each, _ in result])
            assert not left_open, (
                f"{model.__name__} is ordered by {left_open}, which may be blank: the blank ones stand first "
                f"on SQLite and last on PostgreSQL. Say where, by F(…).{WHERE_BLANK}."
            )
        return result

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(SQLCompiler, "get_order_by", judged)
        yield

"""Questions that the bench asks."""

from catalogue.care.queries.workbench import Benched, Row, bench, on_the_bench_since

__all__ = ["Benched", "Row", "bench", "on_the_bench_since"]

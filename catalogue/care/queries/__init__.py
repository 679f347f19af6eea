"""Questions that the bench asks."""

from catalogue.care.queries.workbench import BenchPiece, StageRow, finds_by_stage, on_the_bench_since

__all__ = ["BenchPiece", "StageRow", "finds_by_stage", "on_the_bench_since"]

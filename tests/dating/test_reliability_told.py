"""The README tells how much of the tables was read and how much is remembered: computed, not typed."""

from dating import Reference
from tests.benchmarks.reliability import sentence
from tests.running import ROOT


def test_the_readme_tells_what_is_published_and_what_is_memory(ref: Reference) -> None:
    assert sentence(ref) in (ROOT / "README.md").read_text(encoding="utf-8")

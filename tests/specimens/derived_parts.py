"""What the tests of derived columns share."""

from catalogue.specimens.derived.check import differences, differences_elsewhere
from catalogue.specimens.models import MarkReading, Specimen
from catalogue.specimens.search.understanding import finds_with, understand
from catalogue.specimens.services import Parts
from tests import factories


def found(words: str) -> list[str]:
    return [find.what for find in Specimen.everything.filter(finds_with(understand(words)))]


def agree() -> bool:
    """Whether everything stored is what it should be."""
    keys = list(Specimen.everything.values_list("pk", flat=True))
    wrong = [*differences(keys), *differences_elsewhere()]
    assert wrong == []
    return True


def bw_read() -> Parts:
    """A mark that a maker is known by."""
    factories.brackwater()
    return Parts(readings=[MarkReading(letters="BW", symbol="wave", right="6")])

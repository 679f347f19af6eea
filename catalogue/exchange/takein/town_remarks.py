"""Said beside a row: how a town would be filed, and where several fit and none is chosen."""

from catalogue.common.text import folded
from catalogue.specimens.gazetteer import How, TownReading, read_town

from .row_said import RowSaid

TOWNS_NAMED = 3


class TownRemarks:
    """Looks each name up once, however many rows have it."""

    def __init__(self) -> None:
        self._known: dict[str, str] = {}

    def add(self, said: RowSaid) -> None:
        """A remark where its town is not surely one."""
        for name in ("town", "bottler_town"):
            if (words := said.names.get(name)) and (remark := self._remark(words)):
                said.remarks.append(remark)

    def _remark(self, words: str) -> str:
        key = folded(words)
        if key not in self._known:
            self._known[key] = _remark_of(words, read_town(words))
        return self._known[key]


def _remark_of(words: str, reading: TownReading) -> str:
    if reading.one is not None or not reading.rows:
        return ""
    listed = "; ".join(f"{row.name}, {row.region_name or row.region}" for row in reading.rows[:TOWNS_NAMED])
    if reading.how is How.AS_CUT and len(reading.rows) > 1:
        return f"several towns are called {words} ({listed} …): kept as written, its page asks which"
    if reading.how is How.AS_CUT:
        return f"{words} may be {listed}: kept as written, its page asks"
    return f"no listed town is called {words}; near it: {listed}; kept as written, its page asks"

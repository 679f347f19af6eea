"""The dating service's answers for many finds: equal evidence is asked about once, much of it by helpers."""

import logging
from collections.abc import Iterable
from concurrent.futures import Future, wait
from dataclasses import dataclass
from functools import cache
from typing import Any

import dating
from catalogue.specimens.evidence import Evidence, only_known
from catalogue.specimens.helpers import UNABLE, Helpers, answer_to, question_of, worth_helpers
from catalogue.specimens.makers_of_marks import Shown, maker_by_chance, maker_of
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.specimen_words import MakerHow
from catalogue.specimens.tables import own_rows

log = logging.getLogger("siltmark.redating")
# Answers kept at once: pieces that show the same get the same answer without asking again.
KEPT = 5000
# Stands for every bottler, product and works that the codes do not name; no person types it.
NOBODY = "\N{EM DASH}"


@dataclass(frozen=True, slots=True)
class Asked:
    """A find, the question its evidence makes, and the maker that a person named."""

    find: Specimen
    question: str
    named: Shown | None


class Answers:
    """Answers for `finds` finds; use it in a `with`, which lets the helpers go."""

    def __init__(self, reference: dating.Reference, finds: int = 0) -> None:
        self._reference = reference
        self._maker_of = cache(maker_of)
        self._known: dict[str, dict[str, Any]] = {}
        self._pending: dict[str, tuple[Future, int]] = {}
        self._helpers: Helpers | None = None
        size = worth_helpers(finds)
        if size:
            try:
                self._helpers = Helpers(*own_rows(), reference.version, size)
            except UNABLE as error:
                self._alone(error)
        codes = reference.date_codes.values()
        self._told_apart = {
            name: {word.strip().casefold() for code in codes for word in getattr(code, name).split(";")}
            for name in ("bottler", "product", "works")
        }

    def __enter__(self) -> "Answers":
        return self

    def __exit__(self, *error: object) -> None:
        if self._helpers:
            self._helpers.close()

    @property
    def helped(self) -> bool:
        """Whether helpers answer, so that it pays to ask ahead."""
        return self._helpers is not None

    def ask(self, finds: Iterable[Evidence]) -> list[Asked]:
        """Put the questions; helpers begin to answer at once."""
        asked = [self._asked(evidence) for evidence in finds]
        new = {one.question for one in asked} - self._known.keys() - self._pending.keys()
        if self._helpers and new:
            try:
                self._pending |= self._helpers.ask(
                    [q for q in dict.fromkeys(a.question for a in asked) if q in new]
                )
            except UNABLE as error:
                self._alone(error)
        return asked

    def wait(self, asked: Iterable[Asked]) -> None:
        """Until helpers have answered, so that nothing need be locked meanwhile."""
        wait([self._pending[one.question][0] for one in asked if one.question in self._pending])

    def about(self, asked: Asked) -> dict[str, Any]:
        """The columns in `STORED` for that find, the maker as its key."""
        answer = dict(self._answer(asked.question))
        likeliest = answer.pop("likeliest")
        shown = asked.named or maker_by_chance(likeliest, self._maker_of)
        return answer | {
            "maker_how": shown.how,
            "maker_probability": shown.probability,
            "maker_id": shown.maker and shown.maker.pk,
        }

    def _asked(self, evidence: Evidence) -> Asked:
        case = self._nameless(only_known(evidence.case(), self._reference))
        opinion = evidence.maker_opinion
        named = Shown(opinion, MakerHow.OPINION, None) if opinion else None
        return Asked(evidence.find, question_of(case, named is not None), named)

    def _answer(self, question: str) -> dict[str, Any]:
        if question not in self._known:
            if len(self._known) >= KEPT:
                self._known.clear()
            self._known[question] = self._helped(question) or answer_to(question, self._reference)
        return self._known[question]

    def _helped(self, question: str) -> dict[str, Any] | None:
        future, at = self._pending.pop(question, (None, 0))
        if future is None or not self._helpers:
            return None
        try:
            return future.result()[at]
        except UNABLE as error:
            self._alone(error)
            return None

    def _alone(self, error: Exception) -> None:
        """Go on without helpers."""
        log.warning("dating in one process, as no others could be had: %s", error or type(error).__name__)
        if self._helpers:
            self._helpers.close()
        self._helpers = None
        self._pending.clear()

    def _nameless(self, case: dict[str, Any]) -> dict[str, Any]:
        """The case without words that can't move the years, so that more of them are equal.

        A name that no code is bound to is as good as any other such name (yet not the same as none: with a
        bottler known, a code bound to another one is ruled out).
        """
        for name, told_apart in self._told_apart.items():
            if name in case and case[name].strip().casefold() not in told_apart | {"any"}:
                case[name] = NOBODY
        case["known"] = [row | {"what": "known", "source": ""} for row in case["known"]]
        return case

"""Looks worth taking and what can be answered to each: while a bottle is dated, and on a find's page."""

from collections.abc import Sequence
from dataclasses import dataclass
from operator import mul
from typing import TypeVar

import dating
from dating.copies import COPIES
from dating.tables import Feature
from dating.years import shape_of_feature

MOST_LOOKS = 3
MOST_REPLIES = 6  # on a phone's screen
Answer = TypeVar("Answer")


@dataclass(frozen=True, slots=True)
class LookAnswer:
    """What one may see: its words, how to see it, and the feature that it is."""

    term: str
    how_to_see: str
    feature: str


@dataclass(frozen=True, slots=True)
class LookNext:
    """A look worth taking: what to look at, the effort, what it may bring, and its answers."""

    ask: str
    effort: str
    brings: str
    aside: str
    """What the question is called where it is passed on."""
    answers: tuple[LookAnswer, ...] = ()
    reading: int | None = None
    """Of a look for characters beside a mark: which of the readings that the answer was worked out from."""
    side: str = ""

    @property
    def single(self) -> bool:
        """Whether it asks after one feature: yes, or no."""
        return len(self.answers) == 1

    @property
    def first_answers(self) -> Sequence[LookAnswer]:
        return at_once(self.answers)[0]

    @property
    def other_answers(self) -> Sequence[LookAnswer]:
        return at_once(self.answers)[1]


def at_once(answers: Sequence[Answer]) -> tuple[Sequence[Answer], Sequence[Answer]]:
    """What is seen at once, and what opens at a touch; one more is no reason to open anything."""
    count = len(answers) if len(answers) <= MOST_REPLIES + 1 else MOST_REPLIES
    return answers[:count], answers[count:]


def looks_shown(looks: Sequence[dating.Look]) -> list[dating.Look]:
    """The looks worth most, and beside them the likeliest copy's signs where there is a copy."""
    shown = list(looks[:MOST_LOOKS])
    if all(look.group != COPIES for look in shown):
        shown += [look for look in looks if look.group == COPIES][:1]
    return shown


def look_to_take(look: dating.Look, finding: dating.Finding) -> LookNext:
    """A look with its answers; those that were usual in the years of the finding come first."""
    answers = answers_of(look, finding.ref, finding)
    return LookNext(
        look.ask,
        look.effort,
        brings_of(look),
        aside_of(look, answers),
        answers,
        look.reading,
        look.side,
    )


def brings_of(look: dating.Look) -> str:
    """What a look may bring: "likely to halve the range"."""
    return look.words.removeprefix(look.ask).lstrip(": ")


def aside_of(look: dating.Look, answers: Sequence[LookAnswer]) -> str:
    """What sets a question aside: one feature by that feature, a whole group by its name."""
    return answers[0].feature if len(answers) == 1 else look.group


def answers_of(
    look: dating.Look, reference: dating.Reference, finding: dating.Finding | None = None
) -> tuple[LookAnswer, ...]:
    """Its features as answers. Once something is known of the years, what was usual in them comes first."""
    features = [reference.features[name] for name in look.features if name in reference.features]
    if finding and finding.because:
        features.sort(key=lambda feature: -usual(feature, finding))
    single = len(features) == 1
    # the question of a copy says its signs already
    how = {feature.id: "" if look.group == COPIES else feature.how_to_see for feature in features}
    return tuple(LookAnswer("Yes" if single else f.term, how[f.id], f.id) for f in features)


def usual(feature: Feature, finding: dating.Finding) -> float:
    """How usual a feature was in the years of a finding, from 0 to 1: its shape weighed by their chances."""
    case = finding.case
    row = finding.ref.variants.taken(feature.id, case.region, case.contents)
    return float(sum(map(mul, finding.posterior, shape_of_feature(row).over(finding.span))))

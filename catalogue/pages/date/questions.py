"""Questions worth asking next, each with an address for every answer."""

from dataclasses import dataclass
from operator import mul

from django.http import QueryDict

import dating
from catalogue.pages.parts.evidence_query import GHOST
from catalogue.pages.parts.said_words import more
from catalogue.specimens.evidence import FIRED_LABEL
from dating.rows import Feature
from dating.shapes import of_feature


@dataclass(frozen=True, slots=True)
class Reply:
    """An answer to a question: what to see, and the address with it."""

    term: str
    how_to_see: str
    address: str
    feature: str = ""


@dataclass(frozen=True, slots=True)
class Question:
    """One question with its answers."""

    ask: str
    effort: str
    promise: str
    replies: tuple[Reply, ...]
    cannot_tell: str


GHOST_WORDS = ("Only its ghost", "A stain or a faint design where sand may have worn a fired label off.")


def question_of(
    look: dating.Look, query: QueryDict, reference: dating.Reference, finding: dating.Finding | None = None
) -> Question:
    """A look worth taking, with an address for each answer; "can't tell" passes on to the next.

    Once something is known of the years, the answers that were usual in them come first.
    """
    features = [reference.features[name] for name in look.features if name in reference.features]
    if finding and finding.because:
        features.sort(key=lambda feature: -usual(feature, finding))
    single = len(features) == 1
    replies = [
        Reply("Yes" if single else feature.term, feature.how_to_see, more(query, "f", feature.id), feature.id)
        for feature in features
    ]
    if any(feature.id == FIRED_LABEL for feature in features):
        replies.append(Reply(*GHOST_WORDS, more(query, "f", GHOST)))
    # A question of one feature is set aside by that feature, a whole group by its name.
    aside = features[0].id if single else look.group
    return Question(look.ask, look.effort, promise_of(look), tuple(replies), more(query, "skip", aside))


def usual(feature: Feature, finding: dating.Finding) -> float:
    """How usual a feature was in the years of a finding, from 0 to 1: its shape weighed by their chances."""
    return sum(map(mul, finding.posterior, of_feature(feature).over(finding.span)))


def promise_of(look: dating.Look) -> str:
    """What to look at and what it may bring, such as “Look at the lip: likely to halve the range”."""
    brings = look.words.removeprefix(look.ask).lstrip(": ")
    first, asks, _ = look.ask.partition(":")
    # a question about a whole group that begins with where to look needs no more than that
    asked = first if asks and len(look.features) != 1 else look.ask
    return f"{asked}: {brings}" if not asked.endswith("?") else f"{asked} {brings[:1].upper()}{brings[1:]}"

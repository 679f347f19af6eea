"""How it was made: the table of features as questions."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django import forms

import dating
from catalogue.common.forms import HouseForm
from catalogue.pages.parts.choices import (
    LIP_SHAPE,
    SHAPES_AT_ONCE,
    FeatureGroup,
    groups_in_order,
    lip_questions,
)
from catalogue.specimens.evidence import COLOUR_FEATURES
from catalogue.specimens.models import ObservedFeature
from catalogue.specimens.models.words import Certainty
from dating.tables import LIP, Feature

UNKNOWN_ANSWER = {"invalid_choice": "That answer is not among those of this question. Choose again."}
# The colour is asked for once, as a word with its swatch; those rows of the table follow from it.
ASKED_ELSEWHERE = frozenset(COLOUR_FEATURES.values())


@dataclass(frozen=True, slots=True)
class FeatureAnswer:
    """One answer as the page shows it."""

    feature: Feature
    fits: bool
    chosen: bool
    sure: forms.BoundField | None
    # Not among the likeliest: it comes with all answers.
    further: bool = False

    @property
    def copied(self) -> str:
        """Where it gives a copy away: what is copied, features and colours, joined by ``;``."""
        copy = dating.reference().copies.get(self.feature.id)
        names = copy.applies_to if copy else ()
        return ";".join([*names, *(word for word, name in COLOUR_FEATURES.items() if name in names)])

    @property
    def held(self) -> str:
        """All contents that it is meant for, joined by ``;``."""
        kinds = dating.reference().held.values()
        kind = self.feature.applies_to
        return ";".join([kind, *(each.word for each in kinds if each.within == kind)])

    @property
    def sold(self) -> str:
        """All countries that it is an answer for, joined by ``;``."""
        return ";".join(dating.reference().variants.regions(self.feature))


@dataclass(frozen=True, slots=True)
class FeatureQuestion:
    """A group with its answers."""

    group: FeatureGroup
    several: bool
    field: forms.BoundField
    sure: forms.BoundField | None
    answers: list[FeatureAnswer]
    answered: str

    @property
    def drawn(self) -> bool:
        """Whether the drawings are the answers, side by side; what to see is said of the one chosen."""
        return self.group is LIP_SHAPE


class FeaturesForm(HouseForm):
    """One field a group: alternatives as a single choice, the others as several ticks."""

    use_required_attribute = False

    def __init__(
        self,
        *args: Any,
        seen: Sequence[ObservedFeature] = (),
        contents: str = "",
        region: str = "",
        colour: str = "",
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.seen = {row.feature: row for row in seen}
        self.contents, self.region, self.colour = contents, region, colour
        self.groups: list[tuple[FeatureGroup, bool, list[Feature]]] = []
        table = dating.reference().groups
        for group in groups_in_order(list(table)):
            offered = [f for f in table[group.key] if f.id not in ASKED_ELSEWHERE or f.id in self.seen]
            for each, answers in lip_questions(offered) if group.key == LIP else [(group, offered)]:
                if answers:
                    self._ask(each, answers)

    def _ask(self, group: FeatureGroup, offered: list[Feature]) -> None:
        stored = [f.id for f in offered if f.id in self.seen]
        # A find taken in from elsewhere may have two answers to one question: neither is dropped.
        several = group.several or len(stored) > 1
        answers = [(f.id, f.term) for f in offered]
        name = field_name(group)
        if several:
            self.fields[name] = forms.MultipleChoiceField(
                choices=answers, required=False, initial=stored, error_messages=UNKNOWN_ANSWER
            )
            for feature in offered:
                self.fields[f"sure-{feature.id}"] = self._sure(feature.id)
        else:
            self.fields[name] = forms.ChoiceField(
                choices=[("", "not looked"), *answers],
                required=False,
                initial=stored[0] if stored else "",
                error_messages=UNKNOWN_ANSWER,
            )
            self.fields[f"sure-{group.key}"] = self._sure(stored[0] if stored else "")
        self.groups.append((group, several, offered))

    def _sure(self, feature: str) -> forms.ChoiceField:
        row = self.seen.get(feature)
        return forms.ChoiceField(
            choices=Certainty.choices,
            required=False,
            initial=row.certainty if row else Certainty.CERTAIN,
        )

    def questions(self) -> Iterator[FeatureQuestion]:
        """Every group for the page, each answer with whether it fits what the bottle held and its region."""
        said = {group.key: self._chosen(group) for group, _, _ in self.groups}
        seen = set().union(*said.values(), {COLOUR_FEATURES.get(self.colour, "")})
        for group, several, offered in self.groups:
            field = self[field_name(group)]
            chosen = said[group.key]
            # a variant of another country is no second answer beside the row that it stands in for
            answers = [
                FeatureAnswer(
                    f, self.fits(f, seen), f.id in chosen, self[f"sure-{f.id}"] if several else None
                )
                for f in offered
                if not f.variant_of or f.id in chosen
            ]
            if group is LIP_SHAPE:
                answers = likeliest(answers)
            answered = ", ".join(a.feature.term for a in answers if a.chosen)
            sure = None if several else self[f"sure-{group.key}"]
            yield FeatureQuestion(group, several, field, sure, answers, answered)

    def _chosen(self, group: FeatureGroup) -> set[str]:
        value = self[field_name(group)].value() or []
        return {str(v) for v in value} if isinstance(value, list | tuple) else {str(value)}

    def fits(self, feature: Feature, seen: Collection[str]) -> bool:
        """Whether a row is an answer for such a bottle, or nothing is known that says otherwise.

        What gives a copy away is asked of a bottle on which something was `seen` that was copied.
        """
        reference = dating.reference()
        if feature.id in reference.copies:
            return not set(reference.copies[feature.id].applies_to).isdisjoint(seen)
        variants = reference.variants
        return bool(feature.variant_of) or variants.offered(feature, self.region, self.contents)

    def rows(self) -> list[ObservedFeature]:
        """What was seen, not saved; answers with an error are left out."""
        rows = []
        for group, several, _ in self.groups:
            value = self.cleaned_data.get(field_name(group)) or []
            for feature in value if several else [value]:
                if isinstance(feature, str) and feature:
                    sure = self.cleaned_data.get(f"sure-{feature}" if several else f"sure-{group.key}")
                    stored = self.seen.get(feature)
                    note = stored.note if stored else ""
                    rows.append(
                        ObservedFeature(feature=feature, certainty=sure or Certainty.CERTAIN, note=note)
                    )
        return rows


def likeliest(answers: Sequence[FeatureAnswer]) -> list[FeatureAnswer]:
    """What fits the bottle first, all but the first dozen marked as `further`."""
    ordered = sorted(answers, key=lambda answer: not answer.fits)
    return [replace(each, further=place >= SHAPES_AT_ONCE) for place, each in enumerate(ordered)]


def field_name(group: FeatureGroup) -> str:
    """The field of a group."""
    return f"made-{group.key}"

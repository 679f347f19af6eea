"""The questions that the table of features can answer: which of a group, or a plain yes or no."""

from dataclasses import dataclass

from .case import Case
from .library import Reference
from .rows import Feature
from .weights import misfits

# groups whose members exclude each other: one answer to one question
ONE_OF = {
    "mould-seam": ("Look at the seams: how do they run?", "a glance"),
    "pontil": ("Look at the middle of the base: is there a pontil scar, and which?", "a glance"),
    "base-scar": ("Look at the base: which scar does it carry?", "a loupe"),
    "finish": ("Look at the lip: how was it finished?", "a glance"),
    "closure": ("How was it closed?", "a glance"),
    "venting": ("Feel for tiny pimples on shoulder and panels: is it vented?", "a loupe"),
    "glass-quality": ("Hold it to the light: wavy skin, bubbles?", "a lamp"),
    "base-surface": ("Look at the resting edge: dots or ridges?", "a glance"),
}
YES_NO = {
    "inscription": ("Read the glass", "a glance"),
    "label": ("Look for a label, or its ghost", "a lamp"),
    "body": ("Look at the shape", "a glance"),
    "colour": ("Hold it to the light", "a lamp"),
    "contents": ("Read what it held", "a glance"),
    "capacity": ("Read or measure its size", "a glance"),
    "other": ("Look closely", "a loupe"),
}


@dataclass(frozen=True, slots=True)
class Question:
    """A question: its group, its words, the effort, and the features that answer it."""

    group: str
    ask: str
    effort: str
    ids: tuple[str, ...]

    @property
    def key(self) -> tuple[str, ...]:
        """What its answers depend on."""
        return (self.effort, *self.ids)


def questions(case: Case, ref: Reference) -> list[Question]:
    """The questions not answered yet; rows for other regions or contents than the bottle's are left out."""
    seen = {feature.id for feature in case.features}
    out = []
    for group, features in ref.groups.items():
        offered = [feature for feature in features if not misfits(feature, case)]
        if not offered or group in case.asked:
            continue
        if group in ONE_OF:
            if not seen & {feature.id for feature in features}:
                ask, effort = ONE_OF[group]
                out.append(Question(group, ask, effort, tuple(feature.id for feature in offered)))
        else:
            open_ones = [f for f in offered if f.id not in seen and f.id not in case.asked]
            out += [_yes_no(group, feature) for feature in open_ones]
    return out


def _yes_no(group: str, feature: Feature) -> Question:
    ask, effort = YES_NO.get(group, YES_NO["other"])
    return Question(group, f"{ask}: {feature.term}?", effort, (feature.id,))

"""The questions that the table of features is asked by, in the order a hand goes over a bottle."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Group:
    """One question; `several` where more than one answer can be true of a bottle."""

    key: str
    title: str
    ask: str
    several: bool = False


GROUPS = (
    Group("finish", "The lip (finish)", "How does the lip look?"),
    Group("mould-seam", "Seams", "Where do the seams run?"),
    Group("base-scar", "Scar on the base", "What did the making leave on the base?"),
    Group("pontil", "Pontil scar", "Is there a rough scar where a rod held it?"),
    Group("base-surface", "Surface of the base", "Dots or ridges where it stands?"),
    Group("venting", "Air vents", "Are there tiny raised pimples?"),
    Group("glass-quality", "The glass", "How does the glass itself look?"),
    Group("closure", "Closure", "What closed it?"),
    Group("body", "Shape of the body", "Does one of these shapes fit?", several=True),
    Group("colour", "Colours that date", "Is it one of these?", several=True),
    Group("label", "Label", "What of a label is left?", several=True),
    Group("inscription", "Wording", "Does one of these stand on it?", several=True),
    Group("contents", "Contents statement", "Does it state what it holds?", several=True),
    Group("capacity", "Size stated", "Is its size one of these?", several=True),
)


def group_of(key: str) -> Group:
    """The words for a group of the table; a new one gets its own name and allows several answers."""
    known = next((group for group in GROUPS if group.key == key), None)
    return known or Group(key, key.replace("-", " ").capitalize(), "Which of these fit?", several=True)


def in_order(keys: list[str]) -> list[Group]:
    """The groups of a table in the order above, unknown ones last."""
    order = {group.key: place for place, group in enumerate(GROUPS)}
    return [group_of(key) for key in sorted(keys, key=lambda key: order.get(key, len(order)))]

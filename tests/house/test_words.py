"""One word for one thing and one verb for one act: templates keep to the table of words."""

import re
from pathlib import Path

import pytest
from django.apps import apps

from catalogue.common.templatetags.house_words import or_not_recorded
from catalogue.common.words import GAP_WORDS, house_words, sure, words_of
from catalogue.specimens.models.words import Stage, Standing

ROOT = Path(__file__).resolve().parents[2]
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
CONTROL = re.compile(r"<(button|a|label|summary)\b")
SAYS_IT_OTHERWISE = re.compile(r"\b(not known|unknown|none given|nothing known)\b(?!_)|>\s*[—–]\s*<", re.I)
# What a template leaves to the record: a stage, an outcome, a number.
LEFT_TO_A_VALUE = "{{"
SIGNS = {"+", "−", "↑", "↓"}


def end_of_tag(text: str, at: int) -> int:
    """Where the tag that begins at `at` ends; a `>` within an attribute or a template tag is none."""
    quoted = False
    while text[at] != ">" or quoted:
        if text.startswith("{%", at):
            at = text.index("%}", at)
        elif text[at] == '"':
            quoted = not quoted
        at += 1
    return at


def labels(text: str) -> list[str]:
    """What stands on each button, and on each link that looks like one."""
    found = []
    for control in CONTROL.finditer(text):
        ends = end_of_tag(text, control.start())
        tag = text[control.start() : ends]
        if control[1] != "button" and not re.search(r'class="[^"]*\bbtn\b', tag):
            continue
        inner = text[ends + 1 : text.index(f"</{control[1]}>", ends)]
        inner = re.sub(r'<span class="unseen">.*?</span>', "", inner, flags=re.S)
        found.append(" ".join(re.sub(r"<[^>]*>", " ", inner).split()))
    return found


def branches(label: str) -> list[str]:
    """Each way that a label with conditions can begin."""
    if not label.startswith("{%"):
        return [label]
    parts = re.split(r"\{%.*?%\}", label)
    return [part.strip() for part in parts if part.strip()]


def begins_well(label: str) -> bool:
    if not label or label in SIGNS or label.startswith(LEFT_TO_A_VALUE):
        return True
    acts, answers = words_of("act").values(), words_of("answer").values()
    return label.split()[0].rstrip(",:") in acts or label.startswith(tuple(answers))


def test_labels_are_read_as_a_person_reads_them() -> None:
    either = "{% if a %}Keep{% else %}Save{% endif %}"
    text = f'<a class="btn q" href="{{% if a > b %}}x">Edit <b>it</b></a><button>{either}</button>'
    assert labels(text) == ["Edit it", either]
    assert branches(either) == ["Keep", "Save"]
    assert not begins_well("Keep") and begins_well("Save") and begins_well("None of these, or can't tell")


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda p: str(p.relative_to(ROOT)))
def test_every_button_begins_with_a_verb_of_the_table(path: Path) -> None:
    said = [begin for label in labels(path.read_text(encoding="utf-8")) for begin in branches(label)]
    assert [label for label in said if not begins_well(label)] == []


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda p: str(p.relative_to(ROOT)))
def test_what_is_missing_is_not_recorded_and_nothing_else(path: Path) -> None:
    shown = re.sub(r"\{[%#{].*?[%#}]\}", "", path.read_text(encoding="utf-8"), flags=re.S)
    assert not SAYS_IT_OTHERWISE.search(re.sub(r"<[^>]*>", "><", shown))


def test_every_word_is_there_once_and_says_what_it_is_for() -> None:
    rows = house_words()
    assert all(row.words and row.what_for for row in rows)
    assert len({(row.kind, row.key) for row in rows}) == len(rows)
    assert len({(row.kind, row.words) for row in rows}) == len(rows)


def test_every_verb_of_the_table_stands_on_a_button() -> None:
    said = [
        begin for path in TEMPLATES for label in labels(path.read_text("utf-8")) for begin in branches(label)
    ]
    first = {label.split()[0].rstrip(",:") for label in said if label}
    assert set(words_of("act").values()) - first == set()


def test_stages_and_standings_are_those_of_the_table() -> None:
    assert dict(Stage.choices) == words_of("stage")
    assert dict(Standing.choices) == words_of("standing")


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.9, "90 % sure"),
        (0.006, "1 % sure"),
        (0.004, "under 1 % sure"),
        (0.994, "99 % sure"),
        (1.0, "over 99 % sure"),
    ],
)
def test_a_chance_is_said_in_one_way(chance: float, words: str) -> None:
    assert sure(chance) == words


def test_a_gap_is_said_and_nought_is_none() -> None:
    assert [or_not_recorded(value) for value in ("", None, 0, "x")] == [
        "not recorded",
        "not recorded",
        0,
        "x",
    ]


def test_a_choice_that_says_nothing_says_not_recorded() -> None:
    choices = [
        str(words)
        for model in apps.get_models()
        for field in model._meta.get_fields()
        for _, words in getattr(field, "flatchoices", [])
    ]
    assert GAP_WORDS in choices
    assert [words for words in choices if SAYS_IT_OTHERWISE.search(words)] == []


def test_no_screen_speaks_of_bits() -> None:
    for path in TEMPLATES:
        assert not re.search(r"\bbits\b", path.read_text(encoding="utf-8")), path

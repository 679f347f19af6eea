"""One word for one thing and one verb for one act: templates keep to the table of words."""

import ast
import re
from pathlib import Path

import pytest
from django.apps import apps

from catalogue.common.words import GAP_WORDS, house_words, or_not_recorded, sure, words_of
from catalogue.specimens.models.words import Stage, Standing
from tests.house.imports import ROOT, parsed

SCRIPTS = sorted((ROOT / "static").rglob("*.js"))
PARSED = {
    path: parsed(path.read_text(encoding="utf-8"))
    for path in sorted((ROOT / "catalogue").rglob("*.py"))
    if "migrations" not in path.parts
}
# The function that says something with a way to undo it.
SAYS = "say_with_undo"
SAVED_OTHERWISE = re.compile(
    r"\b(is|are|was|were) kept\b|^Kept\b|\bkept with\b|written down|\blogged\b|^Noted\b"
)
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
CONTROL = re.compile(r"<(button|a|label|summary)\b")
SAYS_IT_OTHERWISE = re.compile(r"\b(not known|unknown|none given|nothing known)\b(?!_)|>\s*[—–]\s*<", re.I)
# What a template leaves to the record: a stage, an outcome, a number.
LEFT_TO_A_VALUE = "{{"
SIGNS = {"+", "−", "↑", "↓", "←", "→"}


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
    """What stands on each button, and on each link that looks like one or acts."""
    found = []
    for control in CONTROL.finditer(text):
        ends = end_of_tag(text, control.start())
        tag = text[control.start() : ends]
        if control[1] != "button" and not re.search(r'class="[^"]*\b(btn|link-act)\b', tag):
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


# Words that Python gives a button: the class that carries them, which argument of it they are, and its name.
BUILT_BUTTONS = {"HandAct": (0, "words"), "ToDo": (3, "act")}


def begun_with(node: ast.expr) -> str:
    """How a text begins that Python builds: what stands before its first value."""
    if isinstance(node, ast.JoinedStr):
        return begun_with(node.values[0])
    return str(node.value) if isinstance(node, ast.Constant) else ""


def buttons_built(tree: ast.AST) -> list[str]:
    """The words of the buttons that a module builds."""
    found = []
    for call in ast.walk(tree):
        if not isinstance(call, ast.Call) or getattr(call.func, "id", "") not in BUILT_BUTTONS:
            continue
        place, named = BUILT_BUTTONS[call.func.id]
        given = [each.value for each in call.keywords if each.arg == named] + call.args[place : place + 1]
        found += [begun_with(each) for each in given]
    return found


def test_a_button_that_python_names_begins_with_a_verb_too() -> None:
    said = [label for tree in PARSED.values() for label in buttons_built(tree)]
    assert len(said) > 10 and [label for label in said if not begins_well(label)] == []


def test_a_button_that_a_script_makes_begins_with_a_verb_too() -> None:
    said, made = [], 0
    for path in SCRIPTS:
        code = path.read_text(encoding="utf-8")
        made += code.count('createElement("button")')
        for name in re.findall(r'(\w+) = document\.createElement\("button"\)', code):
            said += re.findall(rf'\b{name}\.textContent = "([^"]*)"', code)
        said += re.findall(r'type: "button", className: "btn[^}]*textContent: "([^"]*)"', code)
    assert len(said) == made > 3 and [label for label in said if not begins_well(label)] == []


def messages_of(tree: ast.AST) -> list[str]:
    """Every text within what a view says to its reader."""
    found: list[ast.AST] = []
    for call in ast.walk(tree):
        if isinstance(call, ast.Call) and ast.unparse(call.func).startswith(("messages.", SAYS)):
            found += ast.walk(call)
    return [part.value for part in found if isinstance(part, ast.Constant) and isinstance(part.value, str)]


def test_what_was_saved_or_recorded_is_said_in_those_words() -> None:
    """Not as kept, noted, logged or written down: the act's button says save or record."""
    said = {path: messages_of(tree) for path, tree in PARSED.items()}
    told = [text for texts in said.values() for text in texts]
    assert len(told) > 150 and [text for text in told if SAVED_OTHERWISE.search(text)] == []
    scripts = [path.read_text(encoding="utf-8") for path in SCRIPTS]
    strings = [text for code in scripts for text in re.findall(r'["`]([A-Z][^"`]*)["`]', code)]
    assert len(strings) > 20 and [text for text in strings if re.search(r"^(Not )?[Kk]ept\b", text)] == []


def test_python_says_of_what_is_missing_that_it_is_not_recorded() -> None:
    """Grounds that no permission tells are another thing: whatever is on record, nobody knows them."""
    otherwise = re.compile(r"\b(not noted|none given|unknown)\b|\bbits\b(?! or)")
    found = []
    for path, tree in PARSED.items():
        if path.parent.name == "startup" or path.name in ("grounds.py", "sheets.py", "fields.py"):
            continue
        told = {id(node.body[0].value) for node in ast.walk(tree) if is_documented(node)}
        found += [
            (path.name, node.value)
            for node in ast.walk(tree)
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told
            if " " in node.value and otherwise.search(node.value)
        ]
    assert found == []


def is_documented(node: ast.AST) -> bool:
    body = getattr(node, "body", None)
    return isinstance(body, list) and bool(body) and isinstance(body[0], ast.Expr)


def test_no_screen_speaks_of_bits() -> None:
    for path in TEMPLATES:
        assert not re.search(r"\bbits\b", path.read_text(encoding="utf-8")), path

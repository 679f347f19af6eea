"""A small CSS parser, enough for our own sheets: rules, and what they stand within."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
STATIC = ROOT / "static"
SHEETS = sorted(STATIC.rglob("*.css"))
TOKENS = STATIC / "common" / "tokens.css"
PIECE = re.compile(r"""("[^"]*"|'[^']*'|[{};])""")


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: the at-rules around it, its selectors, its declarations in order."""

    within: tuple[str, ...]
    selectors: tuple[str, ...]
    declarations: tuple[tuple[str, str], ...]


def parse(text: str) -> Iterator[Rule]:
    """The rules of a sheet; statements (`@layer a, b;`) are left out.

    >>> next(parse("@layer parts { .a, .b { color: var(--ink); } }")).selectors
    ('.a', '.b')
    """
    stack: list[str] = []
    said: list[tuple[str, str]] = []
    part = ""
    for piece in PIECE.split(re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL)):
        if piece == "{":
            stack.append(" ".join(part.split()))
            part = ""
        elif piece in (";", "}"):
            if part.strip() and stack and not stack[-1].startswith("@"):
                name, _, value = part.partition(":")
                said.append((name.strip(), value.strip()))
            part = ""
            if piece == "}":
                head = stack.pop()
                if not head.startswith("@"):
                    yield Rule(tuple(stack), tuple(split(head, ",")), tuple(said))
                said = []
        else:
            part += piece


def split(text: str, at: str) -> list[str]:
    """Parted where `at` stands outside of brackets."""
    parts, depth = [""], 0
    for letter in text:
        depth += (letter in "([") - (letter in ")]")
        if letter == at and not depth:
            parts.append("")
        else:
            parts[-1] += letter
    return [part.strip() for part in parts]


def rules(path: Path) -> list[Rule]:
    """The rules of a sheet."""
    return list(parse(path.read_text(encoding="utf-8")))


def name(path: Path) -> str:
    """A file as a template names it: `common/parts.css`."""
    return path.relative_to(STATIC).as_posix()

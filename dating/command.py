"""The dating service from the command line; its shapes are the public interface."""

import argparse
import json
import sys
from collections.abc import Iterable, Iterator
from math import isfinite
from typing import IO, Any

from .assess import assess
from .case import PLACES, Case
from .checks import CaseError
from .constants import CERTAINTY
from .library import Reference, reference
from .looknext import look_dict

HELP = """\
Reads one JSON object a line (or exactly one document over several lines) from standard input and writes
one JSON line for each, in order. Keys of an object, all optional:
  id, features, mark or marks, known, region, contents, bottler, product, works, maker, recovered,
  this_year, own (marks, date_codes), look_next, asked
A mark: at, letters (? unread, [HN] either, .. lost), symbol, frame, arrangement, left, right, above,
below (null not looked, "" nothing there, "?" unreadable), certainty, only.
A copy's id (features, copy) says that its tell-tales were seen: only then do its late years count.
A known range: what, from, to, certainty, source, from_circa, to_circa, of_firm, edtf.
A line that cannot be answered gets {"id", "error", "at"}, also on standard error; exit code 2 at the end.
"""


def values(ref: Reference) -> str:
    """The values that the keys take, for the help."""
    lists: dict[str, Iterable[str]] = {
        "certainty": CERTAINTY,
        "at": PLACES,
        "frame": ref.frames,
        "symbol": ref.symbols,
        "arrangement": ref.arrangements,
        "contents": ref.contents,
        "region": ref.regions,
    }
    lines = [f"  {key}: {', '.join(known)}" for key, known in lists.items()]
    lines += [f"  features, {group}: {', '.join(f.id for f in fs)}" for group, fs in ref.groups.items()]
    return "Values:\n" + "\n".join(lines)


def documents(lines: Iterable[str]) -> Iterator[str]:
    """Each line as soon as it is there; the first document may also stand on several lines.

    Only a line feed ends a line. Lines are held back while together they may still become a document, and
    are taken for one each as soon as they cannot.
    """
    held: list[str] = []
    for line in (line for line in lines if line.strip()):
        if held is _ANSWERED:
            yield line
            continue
        held.append(line)
        whole = "".join(held)
        if _may_go_on(whole):
            continue
        yield from [whole] if _is_json(whole) else held
        held = _ANSWERED
    yield from held


_ANSWERED: list[str] = []  # in place of the lines held back, once the first document was handed on


def _may_go_on(text: str) -> bool:
    """Whether the text is no JSON yet, but breaks off only at its end."""
    try:
        json.loads(text)
    except json.JSONDecodeError as error:
        return error.pos >= len(text.rstrip())
    except (ValueError, RecursionError):
        return False
    return False


def _is_json(text: str) -> bool:
    try:
        json.loads(text)
    except (ValueError, RecursionError):
        return False
    return True


def _no_number(word: str) -> float:
    raise ValueError(f"{word} is no number")


def _finite(word: str) -> float:
    value = float(word)
    return value if isfinite(value) else _no_number(word[:20])


def answer(text: str, ref: Reference) -> tuple[dict[str, Any], bool]:
    """The answer to one document and whether it is one (else it is an error)."""
    try:
        given = json.loads(text.lstrip("\ufeff"), parse_constant=_no_number, parse_float=_finite)
    except (ValueError, RecursionError) as error:
        reason = str(error) if isinstance(error, ValueError) else "nested too deeply"
        return {"id": None, "error": f"not JSON: {reason}", "at": ""}, False
    if not isinstance(given, dict):
        return {"id": None, "error": "a JSON object is expected on each line", "at": ""}, False
    name = given.get("id")
    try:
        case = Case.from_dict(given, ref)
    except CaseError as error:
        return {"id": name, "error": error.message, "at": error.at}, False
    finding = assess(case, ref)
    out = {"id": name, **finding.as_dict()}
    if case.look_next:
        out["look_next"] = [look_dict(look) for look in finding.look_next]
    return out, True


LINE_ENDS = {ord(c): f"\\u{ord(c):04x}" for c in "\x85\u2028\u2029"}  # where some readers end a line


def write(stream: IO[str], value: dict[str, Any]) -> None:
    """One line of JSON; escaped where the stream cannot take a character, or would break the line at it."""
    try:
        line = json.dumps(value, ensure_ascii=False)
        line.encode(getattr(stream, "encoding", None) or "utf-8")
    except UnicodeEncodeError:
        line = json.dumps(value)
    line = line.translate(LINE_ENDS)
    stream.write(line + "\n")
    stream.flush()


def main(arguments: list[str] | None = None) -> int:
    """Answer standard input; 0, or 2 where a line could not be answered."""
    ref = reference()
    parser = argparse.ArgumentParser(
        prog="python -m dating",
        description=HELP,
        epilog=values(ref),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.parse_args(arguments)
    failed = False
    try:
        for text in documents(sys.stdin):
            out, fine = answer(text, ref)
            write(sys.stdout, out)
            if not fine:
                failed = True
                write(sys.stderr, out)
    except BrokenPipeError:
        sys.stderr.close()
        return 1
    return 2 if failed else 0

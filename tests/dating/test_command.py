"""``python -m dating``: one answer a line, in order, errors in their place."""

import io
import json
import runpy
import subprocess
import sys
from collections.abc import Iterator
from typing import Any

import pytest

from dating.command import documents, main

from .own_rows import OWN


def run(
    text: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> tuple[int, list[Any], str]:
    monkeypatch.setattr("sys.stdin", io.StringIO(text))
    code = main([])
    out, err = capsys.readouterr()
    return code, [json.loads(line) for line in out.splitlines()], err


def test_the_plainest_question_from_a_shell() -> None:
    given = '{"mark":{"letters":"LG","right":"69"}}'
    done = subprocess.run(
        [sys.executable, "-m", "dating"], input=given, capture_output=True, text=True, check=False
    )
    answer = json.loads(done.stdout)
    assert (done.returncode, done.stderr) == (0, "")
    assert (answer["words"], answer["window"]) == ("probably 1969", {"from": 1969, "to": 1969})
    assert "Liberty Glass Co" in answer["because"][0]["source"]


def test_run_as_a_module(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("{}"))
    monkeypatch.setattr("sys.argv", ["dating"])
    with pytest.raises(SystemExit) as caught:
        runpy.run_module("dating", run_name="__main__")
    assert caught.value.code == 0
    assert json.loads(capsys.readouterr().out)["words"] == "not yet dated"


def test_importing_the_module_answers_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    """A tool that walks the package must not start reading standard input."""
    runpy.run_module("dating.__main__", run_name="dating.__main__")
    assert capsys.readouterr().out == ""


def test_help_lists_the_values() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "dating", "--help"], capture_output=True, text=True, check=True
    )
    for value in (
        "inverted-triangle",
        "crown-finish",
        "fleur-de-lis",
        "doubtful",
        "with-ampersand",
        "soda",
        "UK",
    ):
        assert value in done.stdout


def test_the_whole_shape(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    given = {
        "id": ["any", 1],
        "features": ["crown-finish", {"id": "tooled-finish", "certainty": "probable"}],
        "marks": [
            {
                "at": "base",
                "letters": "B?",
                "symbol": "wave",
                "frame": "none",
                "arrangement": None,
                "left": None,
                "right": "7",
                "above": None,
                "below": "",
                "certainty": "certain",
            }
        ],
        "known": [
            {
                "what": "bottler in business",
                "from": 1884,
                "to": None,
                "certainty": "certain",
                "source": "a directory",
            }
        ],
        "region": "US",
        "contents": "soda",
        "bottler": None,
        "recovered": 2026,
        "this_year": 2026,
        "own": OWN,
        "look_next": True,
    }
    code, (answer,), _ = run(json.dumps(given), monkeypatch, capsys)
    assert code == 0
    assert answer["id"] == ["any", 1]
    keys = [
        *("id", "window", "years", "best", "level", "words", "age", "age_words", "edtf"),
        *("likely", "half"),
        *("marks", "because", "conflicts", "corrections", "misplaced", "copies", "look_next"),
    ]
    assert list(answer) == keys
    assert answer["marks"][0]["used"] == [1921, 1955]
    assert {"evidence", "from", "to", "bits", "weight", "why_weight", "source"} <= answer["because"][0].keys()
    assert {"between", "why", "kind"} == answer["conflicts"][0].keys()
    assert {"without", "from", "to", "years", "words"} == answer["corrections"][0].keys()
    assert {"group", "ask", "bits", "effort"} <= answer["look_next"][0].keys()


def test_lines_stay_aligned(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    lines = [
        '{"id": 1}',
        "nonsense",
        '{"id": 3, "features": ["acll"]}',
        "",
        "[1]",
        '{"id": 4, "features": ["acl"]}',
    ]
    code, answers, err = run("\n".join(lines) + "\n", monkeypatch, capsys)
    assert code == 2
    assert [answer["id"] for answer in answers] == [1, None, 3, None, 4]
    assert answers[0]["words"] == "not yet dated"
    assert answers[1] == {"id": None, "error": answers[1]["error"], "at": ""}
    assert answers[1]["error"].startswith("not JSON")
    assert answers[2]["at"] == "features[0]"
    assert "acl" in answers[2]["error"]
    assert answers[4]["window"] == {"from": 1931, "to": None}
    assert [json.loads(line) for line in err.splitlines()] == [answers[1], answers[2], answers[3]]


def test_one_document_over_several_lines(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    text = "\n" + json.dumps({"id": "x", "features": ["acl"]}, indent=2) + "\n"
    code, answers, _ = run(text, monkeypatch, capsys)
    assert (code, len(answers), answers[0]["id"]) == (0, 1, "x")


def test_a_broken_first_line_does_not_stop_the_rest(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    code, answers, _ = run('{"id": 1,\n\n{"id": 2}\n', monkeypatch, capsys)
    assert (code, len(answers)) == (2, 2)
    assert answers[1]["id"] == 2


@pytest.mark.parametrize("text", ["", "\n \n"])
def test_nothing_in_nothing_out(
    text: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(text, monkeypatch, capsys) == (0, [], "")


def test_deep_nesting_is_an_error_not_a_crash(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    code, answers, _ = run("[" * 100_000 + "\n", monkeypatch, capsys)
    assert code == 2
    assert answers[0]["error"].startswith("not JSON")


def test_a_stream_that_cannot_take_a_character(monkeypatch: pytest.MonkeyPatch) -> None:
    raw = io.BytesIO()
    monkeypatch.setattr("sys.stdin", io.StringIO('{"id": "Grünglas \\ud800", "features": ["acl"]}'))
    monkeypatch.setattr("sys.stdout", io.TextIOWrapper(raw, encoding="ascii", write_through=True))
    assert main([]) == 0
    assert json.loads(raw.getvalue())["id"] == "Grünglas \ud800"


def test_a_reader_that_went_away(monkeypatch: pytest.MonkeyPatch) -> None:
    class Gone(io.StringIO):
        def write(self, text: str) -> int:
            raise BrokenPipeError

    monkeypatch.setattr("sys.stdin", io.StringIO("{}"))
    monkeypatch.setattr("sys.stdout", Gone())
    monkeypatch.setattr("sys.stderr", io.StringIO())
    assert main([]) == 1


@pytest.mark.parametrize("odd", ["\u2028", "\u2029", "\x0c", "\x85", "\x1c"])
def test_only_a_line_feed_ends_a_line(
    odd: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    given = json.dumps(
        {"id": f"a{odd}b", "known": [{"what": f"x{odd}y", "from": 1900}]}, ensure_ascii=odd < " "
    )
    code, answers, _ = run(f"nonsense\n{given}\n", monkeypatch, capsys)
    assert (code, len(answers)) == (2, 2)
    assert answers[1]["id"] == f"a{odd}b"
    code, answers, _ = run(f'nonsense\n{{"id": 1}}{odd}{{"id": 2}}\n', monkeypatch, capsys)
    assert len(answers) == 2 and "error" in answers[1]


@pytest.mark.parametrize("word", ["NaN", "Infinity", "-Infinity", "1e999"])
def test_what_is_no_number_is_refused_and_never_echoed(
    word: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    code, (answer,), _ = run(f'{{"id": {word}}}\n', monkeypatch, capsys)
    assert (code, answer["id"]) == (2, None)
    assert answer["error"].endswith("is no number")


def test_a_plain_fraction_is_echoed(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    code, (answer,), _ = run('{"id": 1.5}\n', monkeypatch, capsys)
    assert (code, answer["id"]) == (0, 1.5)


def test_each_line_is_answered_as_it_comes() -> None:
    """Also after a first line that is no document, and after one over several lines."""
    lines = ["nonsense", '{"id": 1}', '{"id": 2,', '{"id": 3}']
    asked = []

    def coming() -> Iterator[str]:
        for line in lines:
            asked.append(line)
            yield line + "\n"

    found = documents(coming())
    for line in lines:
        assert next(found).strip() == line
        assert asked[-1] == line
    assert list(found) == []


def test_a_document_over_several_lines_is_answered_at_its_end() -> None:
    lines = ["{\n", '  "id": [\n', '    {"id": 1}\n', "  ]\n", "}\n", '{"id": 2}\n']
    found = documents(iter(lines))
    assert json.loads(next(found)) == {"id": [{"id": 1}]}
    assert json.loads(next(found)) == {"id": 2}


def test_lines_that_never_become_a_document_are_answered_one_each() -> None:
    assert list(documents(iter(["[\n", '{"id": 1}\n']))) == ["[\n", '{"id": 1}\n']


def test_a_bad_row_of_ones_own_is_an_error_in_its_place(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    good = {"id": "q", "letters": "QX", "maker": "Quarl", "used_from": 1900, "used_to": 1930}
    rows: list[Any] = [
        None,
        [],
        {"id": ["q"]},
        {**good, "used_from": 1e5},
        {**good, "used_to": "\ud800"},
        good,
    ]
    for row in rows:
        given = {"id": 7, "own": {"marks": [good, row]}}
        code, (answer,), _ = run(json.dumps(given), monkeypatch, capsys)
        assert (code, answer["id"]) == (2, 7)
        assert answer["at"].startswith("own.marks[1]")

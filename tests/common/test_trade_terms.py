"""The table of the trade's words, its checks, and how a text shows them."""

import csv
import re
from collections.abc import Iterable
from pathlib import Path

import pytest
from django.http import HttpRequest
from django.template import RequestContext, Template

from catalogue.common.words.trade_terms import TRADE_FACTS, TradeTerm, term_table, trade_terms
from dating import ReferenceError
from dating.facts import Cells, rows_of
from tests.house.sheets import ROOT

HEAD = "term,forms,marked,words,source,basis\n"
TERMS = sorted(trade_terms().terms.values(), key=lambda term: term.term)
# Where screens have their words from: templates, the tables of facts, and what Python calls things.
SAID = (
    *(ROOT / "templates").rglob("*.html"),
    *(ROOT / "dating" / "reference").glob("*.csv"),
    *(ROOT / "catalogue" / "care" / "reference").glob("*.csv"),
    *(
        path
        for path in (ROOT / "catalogue").rglob("*.py")
        if not {"migrations", "trade_terms.py"} & {*path.parts}
    ),
)
# What a stranger to bottles would ask about, wherever these rooms say it.
ASKED = re.compile(
    r"\b(pontil|snap-case|suction scar|parison|crizzl\w+|weeping|iridescen\w+|flaking|keystone|flash|kick"
    r"|applied finish|tooled finish|blob|bail|club sauce|vulcanite|slug plate|whittled|seed bubbles"
    r"|stippl\w+|knurl\w+|heel|bore|seams?|emboss\w*|bottler|EDTF|conductivity|muriatic|ultrasonic"
    r"|swing stopper|crown cap|laid-on ring|blob seal|demijohn|torpedo|fire-polished|burst-off|sheared)\b",
    re.IGNORECASE,
)
ROOMS = ("finds", "date", "workbench", "reference")


def said_there(paths: Iterable[Path]) -> str:
    return "\n".join(path.read_text(encoding="utf-8") for path in paths)


def table(*rows: str) -> Iterable[Cells]:
    return rows_of("trade_terms", HEAD + "\n".join(rows))


def shown(source: str, request: HttpRequest | None = None, **said: object) -> str:
    return Template("{% load trade_terms %}" + source).render(RequestContext(request or HttpRequest(), said))


@pytest.mark.parametrize(
    ("rows", "field"),
    [
        (["pontil,,yes,A rod.,,common", "pontil,,yes,A rod.,,common"], "forms"),
        (["pontil,rods,yes,A rod.,,common", "iron,Rods,yes,Iron.,,common"], "forms"),
        (["pontil,,yes,,,common"], "words"),
        (["pontil,,yes,A rod without an end,,common"], "words"),
        (["pontil,,yes,One. Two. Three.,,common"], "words"),
        (["pontil,,perhaps,A rod.,,common"], "marked"),
        (["pontil,,yes,A rod.,,published"], "source"),
        (["pontil,,yes,A rod.,nobody,published"], "source"),
        (["pontil,,yes,A rod.,,"], "basis"),
    ],
)
def test_a_row_that_says_too_little_or_twice_does_not_load(rows: list[str], field: str) -> None:
    with pytest.raises(ReferenceError) as caught:
        term_table(table(*rows))
    assert caught.value.field == field


def test_every_row_has_its_source_or_says_that_it_has_none() -> None:
    for term in TERMS:
        published = term.grounds.basis == "published"
        assert published == bool(term.grounds.sources), term.term
        assert term.source_words.endswith(", no source") != published


def test_sources_are_those_of_the_other_tables_and_each_is_used() -> None:
    known = {}
    for path in ROOT.glob("**/reference/sources.csv"):
        known |= {row["key"]: row for row in csv.DictReader(path.read_text(encoding="utf-8").splitlines())}
    for key, source in TRADE_FACTS.sources.items():
        assert key not in known or source.title == known[key]["title"], key
    assert set(TRADE_FACTS.sources) == {each.key for term in TERMS for each in term.grounds.sources}


@pytest.mark.parametrize("term", TERMS, ids=lambda term: term.key)
def test_every_term_stands_on_some_screen(term: TradeTerm) -> None:
    forms = "|".join(re.escape(form) for form in (term.term, *term.forms))
    assert re.search(rf"(?<![\w-])({forms})(?![\w-])", said_there(SAID), re.IGNORECASE)


def test_what_a_stranger_would_ask_about_is_in_the_table() -> None:
    rooms = [path for room in ROOMS for path in (ROOT / "templates" / "pages" / room).rglob("*.html")]
    words = re.sub(r"\{[%#{].*?[%#}]\}|<[^>]*>", " ", said_there(rooms), flags=re.S)
    facts = said_there(path for path in SAID if path.suffix == ".csv" and path.name != "sources.csv")
    asked = {found[0].lower() for found in ASKED.finditer(words + facts)}
    found = {word for word in asked if next(trade_terms().found_in(word), None)}
    assert len(asked) > 30 and asked - found == set()


def test_the_longest_form_is_meant_and_no_part_of_a_word() -> None:
    said = "Bare iron (improved) pontil, PONTILS, a blobfish, lip-read"
    assert [said[a:b] for a, b, _ in trade_terms().found_in(said)] == [
        "Bare iron (improved) pontil",
        "PONTILS",
    ]


def test_a_text_is_escaped_and_each_term_told_once_on_a_page() -> None:
    request = HttpRequest()
    first = shown("{% explain said %}", request, said="<b>a pontil</b> & a pontil, a “flash”; a shoulder")
    assert first.startswith("&lt;b&gt;a <span") and "&lt;/b&gt; &amp; a pontil, a “<span" in first
    assert re.findall(r'popovertarget="([^"]+)"', first) == re.findall(r'id="([^"]+)"', first)
    assert first.count("<button") == 2 and "”;</span> a shoulder" in first
    assert shown("{% explain said %}", request, said="one more pontil") == "one more pontil"
    assert "<button" in shown("{% explain said %}", said="a pontil on another page")


def test_a_part_of_a_page_has_its_own_request_even_where_only_is_said() -> None:
    request = HttpRequest()
    request.META["HTTP_HOST"] = "testserver"
    shown("{% explain said %}", request, said="a pontil")
    grounds = '{% include "pages/workbench/reasons.html" with reasons=reasons only %}'
    why = type("Why", (), {"words": "a pontil and a flash", "source_words": "ours"})
    assert shown(grounds, request, reasons=[why]).count("<button") == 1


def test_what_choices_mean_stands_below_them_and_nothing_where_nothing_needs_it() -> None:
    with_terms = shown("{% meant %}<label>crizzling</label> <b>weeping</b>{% endmeant %}")
    assert with_terms.startswith("<label>crizzling</label> <b>weeping</b><details")
    assert re.findall(r"<dt>(.*?)</dt>", with_terms) == ["crizzling", "weeping"]
    assert shown("{% meant %}<b>plain</b>{% endmeant %}") == "<b>plain</b>"

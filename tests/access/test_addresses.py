"""Every address of the URL table, asked for as stranger, visitor, paired phone and owner.

What each gets stands in `addresses.csv`: a page that is not in it fails here, and one that its code opens is
closed until the table says so. `python -m tests.access.address_table` writes what is missing, closed.
"""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.http import HttpResponse
from django.test import Client, override_settings

from catalogue.access import services
from catalogue.access.models import OneTimeKey
from catalogue.exchange.backup import running
from tests.access.address_table import (
    ACCESS,
    BEGIN,
    DEVELOPERS,
    END,
    ROLES,
    every_address,
    plain_tables,
    rows,
    summary,
)
from tests.access.example_rows import PRIVATE, Examples, made_examples

TABLE = {row.address: row for row in rows()}
ADD = "run: python -m tests.access.address_table"
HOUSE_HOST = "192.168.7.2:8737"
PHONE_AT = "192.168.7.9"
DOOR = {"enter/", "enter/standing/", "enter/<str:key>/", "admin/login/"}
# Without what an act or a choice has made first, the owner too is told that nothing is there.
AFTER_AN_ACT = {
    "dives/sites/<str:slug>/permission/<whole:pk>/paper/": "wants a paper; tests/pages/dives/test_papers.py",
    "finds/<number:number>/plates/relief.png": "wants a look with lamps; tests/pages/finds/plates/",
    "finds/<number:number>/plates/round.jpg": "wants a look with lamps; tests/pages/finds/plates/",
    "finds/<number:number>/plates/strip.jpg": "wants a look with lamps; tests/pages/finds/plates/",
    "settings/browsers/<slug:name>/sign-out/": "wants another browser; tests/pages/settings/",
    "settings/towns/<str:country>/delete/": "wants a list that was added; tests/pages/settings/",
    "settings/towns/<str:country>/restore/": "wants a list taken away; tests/pages/settings/",
    "workbench/<number:number>/clean/undo/<whole:pk>/": "wants a tool used; tests/pages/workbench/",
}


@pytest.fixture(scope="module")
def made(module_pictures) -> tuple[Examples, Path]:
    return module_pictures(made_examples)


@pytest.fixture
def examples(made: tuple[Examples, Path], db: None, monkeypatch: pytest.MonkeyPatch) -> Iterator[Examples]:
    """The rows; no task is begun beside the test."""
    monkeypatch.setattr(running, "begin", lambda name, work: None)
    with override_settings(DATA_DIR=made[1], MEDIA_ROOT=made[1] / "files"):
        yield made[0]


def answer(client: Client, method: str, address: str, host: str = "localhost") -> HttpResponse:
    """What is said to that method, without data."""
    return client.generic(method, address, headers={"Host": host})


def kind_of(said: HttpResponse) -> str:
    """One word for an answer."""
    if said.status_code in (301, 302, 307, 308):
        return "door" if said["Location"].startswith(("/enter/", "/admin/login/")) else "on"
    return {400: "refused", 404: "nothing", 405: "method"}.get(said.status_code, str(said.status_code))


def test_every_address_stands_in_the_table_and_no_other() -> None:
    every = every_address()
    assert [address for address in every if address not in TABLE] == [], ADD
    assert [address for address in TABLE if address not in every] == [], ADD


def test_the_table_says_nothing_else_than_it_explains() -> None:
    assert {row.of(role) for row in TABLE.values() for role in ROLES} <= set(ACCESS)
    assert len(TABLE) == len(rows()) > 190


def test_nobody_but_the_owner_gets_the_whole_of_a_page() -> None:
    for row in TABLE.values():
        assert row.stranger == "refused" and row.visitor != "whole", row


@pytest.mark.parametrize("address", TABLE)
def test_a_stranger_gets_nothing(address: str, client: Client, examples: Examples) -> None:
    """Without `--lan`, whoever comes by the machine's address in the house or by a name not its own."""
    assert TABLE[address].stranger == "refused"
    for method in ("GET", "POST"):
        said = answer(client, method, examples.fill(address), HOUSE_HOST)
        assert kind_of(said) == "refused", method
        assert_nothing_private(said, examples.fill(address))


@pytest.mark.parametrize("address", TABLE)
def test_a_visitor_gets_what_the_table_says(address: str, examples: Examples, settings) -> None:
    settings.ALLOWED_HOSTS = [HOUSE_HOST.partition(":")[0]]
    visitor, expected = Client(REMOTE_ADDR=PHONE_AT), TABLE[address].visitor
    told = {}
    for asked in dict.fromkeys([examples.fill(address), examples.fill(address, private=True)]):
        for method in ("GET", "POST"):
            said = answer(visitor, method, asked, HOUSE_HOST)
            assert_nothing_private(said, asked)
            assert_strict(said)
            told[asked, method] = kind_of(said)
    got = [kind for (_, method), kind in told.items() if method == "GET"]
    if expected == "closed":
        assert set(told.values()) == {"door"}
    elif expected == "shown":
        # the piece that is shown, then the private one, where the address names one
        assert got in (["200"], ["200", "door"], ["200", "nothing"])
        assert {kind for (_, method), kind in told.items() if method == "POST"} == {"method"}
    elif expected == "form":
        assert got == ["200", "door"]
        # nothing was typed: the form comes back
        assert [kind for (_, method), kind in told.items() if method == "POST"] == ["422", "door"]
    elif expected == "on":
        assert set(got) == {"on"}
    elif expected == "key":
        assert set(got) == {"401"} and set(told.values()) == {"401", "method"}
    else:
        assert expected == "door" and address in DOOR


@pytest.mark.parametrize("role", ["phone", "owner"])
@pytest.mark.parametrize("address", TABLE)
def test_who_is_let_in_gets_what_the_table_says(
    address: str, role: str, examples: Examples, settings
) -> None:
    settings.ALLOWED_HOSTS = ["localhost", HOUSE_HOST.partition(":")[0]]
    told = []
    client, host = let_in(role)
    for method in ("GET", "POST"):
        said = answer(client, method, examples.fill(address), host)
        body_of(said)
        assert said.status_code < 500
        assert_strict(said)
        assert_kept_by_no_cache(said)
        told.append(kind_of(said))
    expected = TABLE[address].of(role)
    if expected == "whole":
        assert "door" not in told or address == "leave/", told
        assert bool(set(told) - {"nothing", "method"}) == (address not in AFTER_AN_ACT), told
    elif expected == "key":
        # A browser that is let in has no more say there than anybody else.
        assert told == ["401", "method"]
    else:
        assert expected in ("on", "door")


def let_in(role: str) -> tuple[Client, str]:
    """A browser of that role, let in by its key as a person would, and the host it asks."""
    opens = OneTimeKey.Opens.PHONE if role == "phone" else OneTimeKey.Opens.OWNER
    client = Client(REMOTE_ADDR=PHONE_AT if role == "phone" else "127.0.0.1")
    host = HOUSE_HOST if role == "phone" else "localhost"
    said = answer(client, "GET", f"/enter/{services.make_key(opens)}/", host)
    assert (said.status_code, said["Location"]) == (302, "/")
    return client, host


def body_of(said: HttpResponse) -> bytes:
    return said.getvalue() if said.streaming else said.content


def assert_nothing_private(said: HttpResponse, asked: str) -> None:
    """Neither in the body nor in a header, but for what whoever asks has typed."""
    whole = (body_of(said).decode("utf-8", "replace") + repr(dict(said.headers))).casefold()
    told = [word for word in PRIVATE if word.casefold() in whole]
    assert not [word for word in told if word.casefold() not in asked]


def assert_strict(said: HttpResponse) -> None:
    """Every page has the strict policy; a file none that is laxer."""
    policy = said["Content-Security-Policy"]
    assert re.search(r"default-src '(self|none)'", policy) and "unsafe" not in policy, policy
    if said.get("Content-Type", "").startswith("text/html"):
        for rule in ("script-src 'self'", "style-src 'self'", "object-src 'none'", "base-uri", "form-action"):
            assert rule in policy, rule
    assert said["X-Content-Type-Options"] == "nosniff"


def assert_kept_by_no_cache(said: HttpResponse) -> None:
    """Pages are not kept at all; a picture, whose address changes with it, only by the browser itself."""
    rule = said["Cache-Control"]
    assert "public" not in rule
    if said.get("Content-Type", "").startswith("image/"):
        assert "private" in rule
    else:
        assert "no-store" in rule, rule


@pytest.mark.parametrize("address", plain_tables())
def test_the_plain_tables_are_closed(address: str, client: Client, owner_client: Client, settings) -> None:
    """Django's own administration: to a visitor always, to the owner unless the start asked for it."""
    filled = "/" + re.sub(r"<[^>]*>|\(\?P.*\)", "1", address).replace("^", "").replace("$", "")
    settings.ADMINISTRATION = True
    assert kind_of(answer(client, "GET", filled)) == kind_of(answer(client, "POST", filled)) == "door"
    settings.ADMINISTRATION = False
    assert kind_of(answer(owner_client, "GET", filled)) in ("nothing", "on")


def test_the_developers_page_adds_the_table_up() -> None:
    page = DEVELOPERS.read_text(encoding="utf-8")
    assert page.partition(BEGIN)[2].partition(END)[0] == summary(rows()), ADD

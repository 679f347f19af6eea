"""At info level the log holds no name, position, note, password or key, whatever the owner asks for."""

import logging
import re
import sqlite3

import pytest
from django.db import IntegrityError
from django.test import Client
from django.urls import resolve

from catalogue.access.middleware import known_sessions
from catalogue.access.startup import log
from catalogue.exchange.backup import running
from tests.access.address_table import every_address
from tests.access.example_rows import PRIVATE, made_examples

KEY, PASSWORD, POSITION = "hUshKeyOfTheDoor234567", "open sesame please", ("44.51", "-67.28")
SECRETS = (*PRIVATE, *(word.lower() for word in PRIVATE), KEY, PASSWORD, *POSITION, "no-such-key")


@pytest.fixture
def kept(db, data_folder, owner_client, monkeypatch):
    """The log's file as a start makes it, at info level, and the owner known to it."""
    monkeypatch.setattr(logging.getLogger(), "handlers", [])
    monkeypatch.setattr(logging.getLogger(), "level", logging.INFO)
    monkeypatch.setattr(running, "begin", lambda name, work: None)
    file = log.keep_in(data_folder)
    known_sessions.replace({owner_client.session.session_key})
    yield data_folder / log.LOG_FILE
    known_sessions.replace(set())
    file.close()


def done_with(answer):
    """Read a file that was sent to its end, which closes it."""
    if answer.streaming:
        answer.getvalue()


def told(kept) -> str:
    return kept.read_text(encoding="utf-8") if kept.exists() else ""


def test_nothing_private_is_in_the_log_after_every_address_was_asked_for(kept, owner_client):
    examples = made_examples()
    owner_client.raise_request_exception = False
    for address in every_address():
        # the row that visitors see, then the private one, where the address names one
        for here in dict.fromkeys(examples.fill(address, private=private) for private in (False, True)):
            if "sign-out" not in here and "leave" not in here:
                done_with(owner_client.get(here))
                typed = {"notes": PRIVATE[0], "password": PASSWORD, "name": PRIVATE[2]}
                done_with(owner_client.post(here, typed))
        # The same one letter on, where nothing is: Django tells the log of it.
        owner_client.get(f"{here.split('?')[0].rstrip('/')}{PRIVATE[1]}/?q={PRIVATE[0]}")
    owner_client.get(f"/enter/{KEY}/")
    Client().post("/enter/", {"password": PASSWORD})
    owner_client.get(f"/finds/?q={PRIVATE[0]}&near={POSITION[0]},{POSITION[1]}")
    said = told(kept)
    assert said.count("Not Found") > 50, "the log was written"
    assert [word for word in SECRETS if word in said] == []


def test_an_error_has_the_number_that_is_shown_and_no_name(kept, owner_client, monkeypatch):
    here = made_examples().fill("dives/sites/<str:slug>/")

    def broken(request, slug):
        raise ZeroDivisionError("the inside of the program")

    match = resolve(here)
    monkeypatch.setattr(match, "func", broken)
    monkeypatch.setattr(
        "django.core.handlers.base.BaseHandler.resolve_request", lambda self, asked: _to(asked, match)
    )
    owner_client.raise_request_exception = False
    answer = owner_client.get(f"{here}?q={PRIVATE[0]}")
    assert answer.status_code == 500
    (number,) = set(re.findall(r"\b[0-9a-f]{8}\b", answer.content.decode()))
    said = told(kept)
    assert f"error {number} at GET /dives/sites/…/" in said and "ZeroDivisionError" in said
    assert [word for word in SECRETS if word in said] == []


def _to(request, match):
    request.resolver_match = match
    return match


@pytest.mark.parametrize(
    ("raised", "kept_of_it"),
    [
        (
            'duplicate key value violates unique constraint "specimens_town_name_key"\n'
            "DETAIL:  Key (name)=(Marrowby) already exists.",
            'unique constraint "specimens_town_name_key"',
        ),
        ('invalid input syntax for type integer: "Marrowby"', 'type integer: "…"'),
        ("fts5: syntax error near 'Marrowby'", 'near "…"'),
        ("UNIQUE constraint failed: specimens_town.name", "failed: specimens_town.name"),
    ],
)
def test_no_database_repeats_words_in_a_trace(kept, raised, kept_of_it):
    """The error itself, and those that were raised from it, have their messages without what was typed."""
    try:
        try:
            raise sqlite3.OperationalError(raised)
        except sqlite3.Error as cause:
            raise IntegrityError(raised) from cause
    except IntegrityError:
        logging.getLogger("siltmark.errors").exception("error 12345678 at POST /towns/")
    said = told(kept)
    assert "Marrowby" not in said and "DETAIL" not in said
    assert said.count(kept_of_it) == 2, "both messages, but for the words"
    assert "test_no_database_repeats_words_in_a_trace" in said, "the trace itself is whole"


def test_words_of_other_errors_stay(kept):
    try:
        raise ValueError('no such "thing"')
    except ValueError:
        logging.getLogger("siltmark.errors").exception("error 12345678 at POST /towns/")
    assert 'ValueError: no such "thing"' in told(kept)

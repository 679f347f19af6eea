"""Keys for one's own programs: shown once, stored hashed, sent in a header, ended in the settings."""

import re
import threading
from datetime import timedelta

import pytest
from django.db import OperationalError, connections
from django.db.models import QuerySet
from django.test import Client
from django.utils import timezone

from catalogue.access import api_keys, services
from catalogue.access.api_keys import make_api_key
from catalogue.access.models import ApiKey, WrongKey
from catalogue.pages.api.problems import KIND
from tests.access.address_table import rows
from tests.access.example_rows import Examples, made_examples

pytestmark = pytest.mark.django_db
ADDRESSES = [row.address for row in rows() if row.visitor == "key"]


@pytest.fixture
def examples(data_folder) -> Examples:
    return made_examples()


def ask(key: str | None, address: str, method: str = "GET", **more):
    headers = {"Authorization": f"Bearer {key}"} if key is not None else {}
    return Client(**more).generic(method, address, headers=headers)


def assert_problem(said, status: int, words: str) -> None:
    """A refusal is JSON that says its status and a sentence, and no cache keeps it."""
    assert (said.status_code, said["Content-Type"]) == (status, KIND), said.content
    problem = said.json()
    assert set(problem) == {"type", "title", "status", "detail"}
    assert problem["status"] == status and words in problem["detail"] and problem["detail"].endswith(".")
    assert "no-store" in said["Cache-Control"]


def test_a_key_is_made_shown_once_and_stored_as_a_digest_alone(owner_client):
    said = owner_client.post("/settings/keys/", {"name": "My web page", "sees": "public"})
    (key,) = re.findall(r'<code class="key">([^<]+)</code>', said.content.decode())
    row = ApiKey.objects.values().get()
    assert key.startswith("siltmark-") and len(key) > 45 and key not in str(row)
    page = owner_client.get("/settings/keys/").content.decode()
    assert key not in page and "My web page" in page and "not used yet" in page
    assert ask(key, "/api/v1/").json()["sees"] == "public"
    assert "last used" in owner_client.get("/settings/keys/").content.decode()


def test_a_key_without_a_name_is_not_made(owner_client):
    said = owner_client.post("/settings/keys/", {"name": " ", "sees": "everything"})
    assert said.status_code == 422 and not ApiKey.objects.exists()


def test_an_ended_key_opens_nothing_from_its_next_request_on(owner_client):
    key = make_api_key("Old", "whole")
    assert ask(key, "/api/v1/finds/").status_code == 200
    address = f"/settings/keys/{ApiKey.objects.get().pk}/end/"
    assert owner_client.post(address)["Location"] == "/settings/keys/"
    assert_problem(ask(key, "/api/v1/finds/"), 401, "ended")
    assert owner_client.post(address).status_code == 404


@pytest.mark.parametrize("address", ADDRESSES)
def test_a_missing_a_wrong_and_an_ended_key_get_nothing(address: str, examples: Examples):
    ended = make_api_key("Ended", "whole")
    ApiKey.objects.filter(name="Ended").update(ended_at=timezone.now())
    asked = examples.fill(address)
    for key, words in ((None, "Send a key"), ("siltmark-guess", "no such key"), (ended, "ended")):
        said = ask(key, asked)
        assert_problem(said, 401, words)
        assert said["WWW-Authenticate"].startswith("Bearer ")
    for scheme in ("Basic c2lsdDptYXJr", "Bearer", "Bearer ", "siltmark-guess"):
        said = Client().get(asked, headers={"Authorization": scheme})
        assert said.status_code == 401
    assert_problem(ask(make_api_key("Writes", "whole"), asked, "POST"), 405, "Nothing is changed")


@pytest.mark.parametrize("address", ADDRESSES)
def test_a_key_in_the_address_is_refused_even_where_it_is_right(address: str, examples: Examples):
    key = make_api_key("Told", "whole")
    said = Client().get(f"{examples.fill(address)}?key={key}")
    assert_problem(said, 400, "never put into an address")


@pytest.mark.parametrize("address", [a for a in ADDRESSES if "<path" not in a])
def test_a_key_that_sees_everything_gets_a_private_piece_and_one_for_visitors_does_not(address, examples):
    whole, public = make_api_key("Mine", "whole"), make_api_key("Page", "public")
    shown, private = examples.fill(address), examples.fill(address, private=True)
    assert ask(whole, shown).status_code == ask(public, shown).status_code == 200
    if private != shown:
        assert ask(whole, private).status_code == 200
        assert_problem(ask(public, private), 404, "this key sees")


def test_wrong_keys_are_limited_by_address_and_hold_no_right_one_up():
    key = make_api_key("Right", "public")
    for _ in range(services.MOST_WRONG_KEYS):
        assert ask("a-guess", "/api/v1/", REMOTE_ADDR="192.168.7.2").status_code == 401
    said = ask("a-guess", "/api/v1/", REMOTE_ADDR="192.168.7.2")
    assert_problem(said, 429, "Too many wrong keys")
    assert 0 < int(said["Retry-After"]) <= 900
    assert WrongKey.objects.count() == services.MOST_WRONG_KEYS
    assert ask(key, "/api/v1/", REMOTE_ADDR="192.168.7.2").status_code == 200
    assert ask("a-guess", "/api/v1/", REMOTE_ADDR="192.168.7.3").status_code == 401


def test_requests_of_a_key_are_limited_and_those_of_another_are_not(monkeypatch):
    monkeypatch.setattr(api_keys, "MOST_REQUESTS", 3)
    busy, other = make_api_key("Busy", "public"), make_api_key("Other", "public")
    for _ in range(3):
        assert ask(busy, "/api/v1/").status_code == 200
    said = ask(busy, "/api/v1/")
    assert_problem(said, 429, "more than 3 requests in a minute: wait")
    assert 0 < int(said["Retry-After"]) <= 60
    assert ask(other, "/api/v1/").status_code == 200
    ApiKey.objects.filter(name="Busy").update(counted_since=timezone.now() - api_keys.RATE_SPAN)
    assert ask(busy, "/api/v1/").status_code == 200
    row = ApiKey.objects.get(name="Busy")
    assert row.counted == 1 and timezone.now() - row.counted_since < api_keys.RATE_SPAN


def test_a_request_that_is_refused_writes_nothing(monkeypatch, django_assert_num_queries):
    monkeypatch.setattr(api_keys, "MOST_REQUESTS", 1)
    key = make_api_key("Busy", "public")
    ask(key, "/api/v1/")
    with django_assert_num_queries(1):
        assert ask(key, "/api/v1/").status_code == 429
    assert ApiKey.objects.get().counted == 1


def test_a_span_that_began_while_the_clock_was_wrong_holds_nobody_up(monkeypatch):
    monkeypatch.setattr(api_keys, "MOST_REQUESTS", 1)
    key = make_api_key("Busy", "public")
    ApiKey.objects.update(counted=1, counted_since=timezone.now() + timedelta(days=400))
    assert ask(key, "/api/v1/").status_code == 200


def test_a_database_that_takes_nothing_keeps_no_program_from_reading(monkeypatch):
    key = make_api_key("Reads", "public")

    def full(*args, **named):
        raise OperationalError("database or disk is full")

    monkeypatch.setattr(QuerySet, "update", full)
    assert ask(key, "/api/v1/").status_code == 200


@pytest.mark.django_db(transaction=True)
def test_the_limit_holds_over_all_that_ask_at_once(monkeypatch):
    """Each thread has its row read before the others count, as another process may have."""
    monkeypatch.setattr(api_keys, "MOST_REQUESTS", 10)
    make_api_key("Busy", "public")
    read, answers = threading.Barrier(4), []

    def many() -> None:
        try:
            row = ApiKey.objects.get()
            read.wait(30)
            for _ in range(5):
                try:
                    api_keys.count_a_request(row)
                    answers.append("counted")
                except api_keys.TooManyRequests as error:
                    answers.append(error.wait_s)
        finally:
            connections.close_all()

    threads = [threading.Thread(target=many) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(answers) == 20 and answers.count("counted") == 10
    # A thread may read the clock just before another begins the span.
    assert all(0 < wait <= 61 for wait in answers if wait != "counted")


def test_last_used_is_written_once_a_minute():
    key = make_api_key("Mine", "public")
    ask(key, "/api/v1/")
    used = ApiKey.objects.get().used_at
    assert used is not None
    ask(key, "/api/v1/")
    assert ApiKey.objects.get().used_at == used
    ApiKey.objects.update(used_at=used - timedelta(minutes=2))
    ask(key, "/api/v1/")
    assert ApiKey.objects.get().used_at > used


def test_no_backup_holds_a_key():
    from catalogue.exchange.backup.snapshot import NOT_COPIED

    assert {ApiKey._meta.db_table, WrongKey._meta.db_table} <= set(NOT_COPIED)

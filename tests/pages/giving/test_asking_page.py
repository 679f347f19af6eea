"""A request as its visitor and the owner see it: who reads what, bad input, and what it leads to."""

import re
import threading

import pytest
from django.db import connection
from django.test import Client
from django.utils import timezone

from catalogue.common.models import HouseSettings
from catalogue.giving import services
from catalogue.giving.asking import MOST_FROM_ONE_HOME
from catalogue.giving.models import Departure, PieceRequest, Promise
from catalogue.people.models import Person
from catalogue.specimens.models import Specimen
from tests import factories as make

pytestmark = pytest.mark.django_db
SAID = {"name": "Quorrel <b>Vane</b>", "reach": "0551 & the quay", "message": "<script>alert(1)</script>"}
UNDO = re.compile(r'action="([^"]+)">(?:(?!</form>).)*>Undo</button>', re.DOTALL)
FORM_KEY = re.compile(r'name="once" value="([^"]+)"')


@pytest.fixture
def find() -> Specimen:
    return services.mark(make.find("Squat soda", dive=make.dive()), "free")


def page(client: Client, address: str) -> str:
    return client.get(address).content.decode()


def ask(find: Specimen, client: Client | None = None, n: int = 1, **given: str) -> Client:
    """As a browser does: the form first, which gives it its cookie, then what was typed."""
    client = client or Client(REMOTE_ADDR=f"10.0.0.{n}")
    key = FORM_KEY.search(page(client, f"/giving/{find.number}/ask/"))
    sent = {**SAID, "once": key[1] if key else "", **given}
    client.last = client.post(f"/giving/{find.number}/ask/", sent)
    return client


def test_asked_for_and_taken_back_from_the_same_browser(find: Specimen) -> None:
    assert f'href="/giving/{find.number}/ask/"' in page(Client(), "/giving/")
    assert f'href="/giving/{find.number}/ask/"' in page(Client(), find.get_absolute_url())
    ask(find)
    second = ask(find, n=2)
    for address in (f"/giving/{find.number}/ask/", find.get_absolute_url(), "/giving/"):
        said = second.get(address)
        assert "1 asked before you" in said.content.decode(), address
        assert said["Cache-Control"] == "private, no-store", address
    assert "asked before" not in page(Client(), f"/giving/{find.number}/ask/")
    back = second.post(f"/giving/{find.number}/ask/", {"back": "yes"}, follow=True).content.decode()
    assert "taken back" in back and "asked before" not in back
    assert list(PieceRequest.objects.values_list("ended", flat=True)) == ["", "taken-back"]


def test_a_second_tap_asks_once(find: Specimen) -> None:
    client = Client()
    key = FORM_KEY.search(page(client, f"/giving/{find.number}/ask/"))[1]
    for _ in range(2):
        said = client.post(f"/giving/{find.number}/ask/", SAID | {"once": key})
        assert said.status_code == 302
    assert PieceRequest.objects.count() == 1
    ask(find, client)
    assert client.last.status_code == 422 and PieceRequest.objects.count() == 1


def test_the_cookie_is_no_session_and_no_script_reads_it(find: Specimen) -> None:
    client = ask(find)
    cookie = client.cookies["siltmark_asked"]
    assert cookie["httponly"] and cookie["samesite"] == "Lax"
    assert not any("session" in name for name in client.cookies)
    assert cookie.value not in PieceRequest.objects.get().browser


def test_nobody_else_learns_who_asked(find: Specimen) -> None:
    asker = ask(find)
    for client in (Client(), ask(find, n=2, name="Other", reach="x", message=""), asker):
        for address in ("/giving/", find.get_absolute_url(), f"/giving/{find.number}/ask/"):
            html = page(client, address)
            assert "Quorrel" not in html and "0551" not in html and "alert" not in html, address


def test_the_owner_reads_it_as_text_and_in_order(owner_client, find: Specimen) -> None:
    ask(find)
    ask(find, n=2, name="Ivo Lark")
    for address in ("/giving/", find.get_absolute_url()):
        html = page(owner_client, address)
        assert "Quorrel &lt;b&gt;Vane" in html and "<script>alert" not in html
        assert html.index("Quorrel") < html.index("Ivo Lark")
    assert "2 people ask for a piece" in page(owner_client, "/")


def test_promised_in_one_touch_the_others_read_promised(owner_client, find: Specimen) -> None:
    services.share(find, shared=True)
    first, other = ask(find), ask(find, n=2)
    key = PieceRequest.objects.earliest("pk").pk
    done = owner_client.post(f"/giving/{find.number}/requests/{key}/promise/", follow=True).content.decode()
    assert Promise.objects.get().person.reach == SAID["reach"]
    address = f"/giving/{find.number}/ask/"
    mine = page(first, address)
    assert "It is promised to you." in mine and "<h1>Your request</h1>" in mine
    assert "can’t be asked for" not in mine and "not free to take" not in mine
    assert "promised to somebody now. Your request stays" in page(other, address)
    assert "It is promised." in page(Client(), find.get_absolute_url())
    stranger = page(Client(), address)
    assert "can’t be asked for now" in stranger and "It is not free to take just now." in stranger
    assert "nothing was sent" not in stranger.lower()
    owner_client.post(UNDO.search(done)[1])
    assert "1 asked before you" in page(other, address) and not Person.objects.exists()


def test_what_is_promised_is_private_again_but_for_those_who_asked(owner_client, find: Specimen) -> None:
    asker = ask(find)
    key = PieceRequest.objects.get().pk
    owner_client.post(f"/giving/{find.number}/requests/{key}/promise/")
    html = page(asker, f"/giving/{find.number}/ask/")
    assert "It is promised to you." in html and "Squat soda" not in html
    assert Client().get(f"/giving/{find.number}/ask/")["Location"].startswith("/enter/")
    assert Client().get("/giving/2031.9.9/ask/")["Location"].startswith("/enter/")
    assert "It is promised to you." in page(asker, "/giving/")


def test_a_namesake_is_asked_about(owner_client, find: Specimen) -> None:
    known = make.person("Ola Brandt")
    ask(find, name="ola  brandt")
    address = f"/giving/{find.number}/requests/{PieceRequest.objects.get().pk}/promise/"
    said = owner_client.post(address)
    assert said.status_code == 422 and "Nothing is promised yet" in said.content.decode()
    assert not Promise.objects.exists()
    owner_client.post(address, {"who": str(known.pk)})
    assert Promise.objects.get().person == known and Person.objects.count() == 1


def test_declined_undone_erased(owner_client, find: Specimen) -> None:
    asker = ask(find)
    key = PieceRequest.objects.get().pk
    base = f"/giving/{find.number}/requests/{key}"
    done = owner_client.post(f"{base}/decline/", follow=True).content.decode()
    assert "The owner can’t" in page(asker, "/giving/").replace("&#x27;", "’")
    owner_client.post(UNDO.search(done)[1])
    assert PieceRequest.objects.get().ended == ""
    again = owner_client.post(f"{base}/decline/undo/", follow=True).content.decode()
    assert "Nothing was undone" in again
    owner_client.post(f"{base}/decline/")
    assert "answered or taken back" in owner_client.post(f"{base}/decline/", follow=True).content.decode()
    assert "Answered requests" in page(owner_client, find.get_absolute_url())
    owner_client.post(f"{base}/erase/")
    assert "Quorrel" not in page(owner_client, find.get_absolute_url())
    assert owner_client.post(f"/giving/{find.number}/requests/999/decline/").status_code == 404


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"name": ""}, "required"),
        ({"reach": " "}, "required"),
        ({"reach": "\u200b \u2060"}, "how the owner can reach you"),
        ({"name": "\u200b"}, "Write your name"),
        ({"name": "x" * 201}, "200 go in"),
        ({"message": "x" * 900_000}, "2,000 go in"),
    ],
)
def test_bad_input_comes_back_with_what_was_typed(find: Specimen, wrong: dict, words: str) -> None:
    client = ask(find, **wrong)
    said = client.last.content.decode()
    assert client.last.status_code == 422 and words in said and "0551" in said or "reach" in wrong
    assert "Not sent yet." in said and "Not saved" not in said
    assert not PieceRequest.objects.exists()


def test_a_script_is_told_to_wait(find: Specimen) -> None:
    for n in range(MOST_FROM_ONE_HOME + 3):
        other = services.mark(make.find(f"Jar {n}"), "free")
        client = ask(other, n=7)
    assert client.last.status_code == 422 and "ask again in 15 min" in client.last.content.decode()
    assert PieceRequest.objects.count() == MOST_FROM_ONE_HOME


def test_promised_while_the_form_was_open(find: Specimen) -> None:
    late = Client()
    key = FORM_KEY.search(page(late, f"/giving/{find.number}/ask/"))[1]
    services.share(find, shared=True)
    services.promise(Specimen.objects.get(), make.person())
    said = late.post(f"/giving/{find.number}/ask/", SAID | {"once": key})
    assert said.status_code == 422 and SAID["reach"].replace("&", "&amp;") in said.content.decode()
    assert "Not sent yet.</b>" in said.content.decode() and "not free to take" in said.content.decode()
    assert not PieceRequest.objects.exists()


def test_a_form_of_another_site_is_refused(find: Specimen) -> None:
    strict = Client(enforce_csrf_checks=True)
    assert strict.post(f"/giving/{find.number}/ask/", SAID).status_code == 403
    assert not PieceRequest.objects.exists()


def test_switched_off_the_old_line_stands(find: Specimen) -> None:
    HouseSettings(visitors_may_ask=False, ask_line="Ring the boat shed.").save()
    for address in ("/giving/", find.get_absolute_url()):
        html = page(Client(), address)
        assert "/ask/" not in html and "Ring the boat shed." in html
    ask(find)
    assert not PieceRequest.objects.exists()


def test_an_owner_is_led_to_the_piece(owner_client, find: Specimen) -> None:
    for send in (owner_client.get, owner_client.post):
        assert send(f"/giving/{find.number}/ask/")["Location"] == f"{find.get_absolute_url()}#requests"


def test_many_fold(owner_client, find: Specimen) -> None:
    PieceRequest.objects.bulk_create(
        PieceRequest(find=find, name=f"Person {n}", reach="r", browser=f"b{n}") for n in range(20)
    )
    html = page(owner_client, "/giving/")
    assert "17 more asked" in html


@pytest.mark.django_db(transaction=True)
def test_two_at_once_both_get_their_place(find: Specimen) -> None:
    gate = threading.Barrier(2)

    def asking(n: int) -> None:
        client = Client(REMOTE_ADDR=f"10.0.1.{n}")
        page(client, f"/giving/{find.number}/ask/")
        gate.wait(10)
        client.post(f"/giving/{find.number}/ask/", SAID | {"name": f"Number {n}", "once": f"key{n}"})
        connection.close()

    threads = [threading.Thread(target=asking, args=(n,)) for n in (1, 2)]
    for each in threads:
        each.start()
    for each in threads:
        each.join(30)
    assert {row.name for row in PieceRequest.objects.all()} == {"Number 1", "Number 2"}


def test_gone_is_asked_when_and_why(owner_client, find: Specimen) -> None:
    address = f"/giving/{find.number}/gone/"
    led = owner_client.post(f"/giving/{find.number}/standing/", {"standing": "lost"})
    assert led["Location"] == f"{address}?standing=lost" and Specimen.objects.get().standing == "free"
    assert 'value="lost"' in page(owner_client, f"{address}?standing=lost")
    for wrong in ({}, {"standing": "sold"}, {"reason": ""}, {"on": "2031-01-01"}):
        sent = {"standing": "lost", "on": "2025-09-12", "reason": "It broke"} | (wrong or {"standing": ""})
        assert owner_client.post(address, sent).status_code == 422
    assert not Departure.objects.exists()
    sent = {"standing": "lost", "on": "2025-09-12", "reason": "It broke"}
    done = owner_client.post(address, sent, follow=True)
    assert [e.note for e in done.context["history"] if e.name == "Lost or broken"] == ["It broke"]
    assert owner_client.post(address, sent).status_code == 422
    owner_client.post(UNDO.search(done.content.decode())[1])
    assert Specimen.objects.get().standing == "free"


def test_a_promise_that_lapsed_is_given_more_time(owner_client, find: Specimen) -> None:
    made = services.promise(find, make.person(), until=timezone.localdate())
    Promise.objects.update(until="2025-01-02")
    Promise.history.update(until="2025-01-02")
    assert "Overdue" in page(owner_client, "/") and "past its day" in page(owner_client, "/giving/")
    assert "The promise lapsed." in page(owner_client, find.get_absolute_url())
    done = owner_client.post(f"/giving/{find.number}/promise/extend/{made.pk}/", follow=True)
    assert Promise.objects.get().until > timezone.localdate()
    owner_client.post(UNDO.search(done.content.decode())[1])
    assert f"{Promise.objects.get().until}" == "2025-01-02"
    twice = owner_client.post(UNDO.search(done.content.decode())[1], follow=True).content.decode()
    assert "Nothing was undone" in twice
    assert owner_client.post(f"/giving/{find.number}/promise/extend/999/").status_code == 302
    far = f"/giving/{find.number}/promise/extend/{made.pk}/undo/99999999/"
    assert owner_client.post(far).status_code == 404


def test_whoever_is_refused_takes_no_turn_of_forms(find: Specimen, monkeypatch) -> None:
    """A script that asks on and on would else hold up whatever the owner writes."""
    for n in range(MOST_FROM_ONE_HOME):
        ask(services.mark(make.find(f"Jar {n}"), "free"), n=7)
    turns = []
    monkeypatch.setattr("catalogue.pages.giving.asking.keep_once", lambda *_: turns.append(1))
    for said in ({}, {"name": ""}):
        assert ask(find, n=7, **said).last.status_code == 422
    client = Client(REMOTE_ADDR="10.0.0.7")
    assert client.post(f"/giving/{find.number}/ask/", {"back": "yes"})["Location"] == "/giving/"
    assert not turns


def test_a_second_tap_is_led_to_the_first_also_where_no_more_are_taken(find: Specimen) -> None:
    for n in range(MOST_FROM_ONE_HOME - 1):
        ask(services.mark(make.find(f"Jar {n}"), "free"), n=7)
    client = Client(REMOTE_ADDR="10.0.0.7")
    key = FORM_KEY.search(page(client, f"/giving/{find.number}/ask/"))[1]
    for _ in range(2):
        assert client.post(f"/giving/{find.number}/ask/", SAID | {"once": key}).status_code == 302
    assert PieceRequest.objects.count() == MOST_FROM_ONE_HOME

"""Settings: who is let in, and the password."""

import re

import pytest
from django.test import Client

import catalogue
from catalogue.access import browsers, services
from catalogue.access.models import OneTimeKey, WrongPassword

pytestmark = pytest.mark.django_db
FIREFOX = "Mozilla/5.0 (X11; Linux x86_64; rv:128.0) Gecko/20100101 Firefox/128.0"
IPHONE = "Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) Version/18.0 Safari/604.1"


@pytest.fixture(autouse=True)
def quick_hashing(settings):
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


def let_in(agent: str, opens: str = OneTimeKey.Opens.OWNER) -> Client:
    browser = Client(headers={"User-Agent": agent})
    browser.get(f"/enter/{services.make_key(opens)}/")
    return browser


def test_each_browser_stands_there_with_how_it_came_in():
    desk = let_in(FIREFOX)
    let_in(IPHONE, OneTimeKey.Opens.PHONE)
    page = desk.get("/settings/").content.decode()
    assert "Firefox on Linux</b> (this one)" in page
    assert "Safari on iPhone</b>" in page
    assert "by the link" in page and "paired by code" in page


def test_no_session_is_given_away_by_the_page():
    desk, phone = let_in(FIREFOX), let_in(IPHONE)
    page = desk.get("/settings/").content.decode()
    assert phone.session.session_key not in page
    assert desk.session.session_key not in page


def test_a_phone_is_signed_out_from_the_desk():
    desk, phone = let_in(FIREFOX), let_in(IPHONE)
    (address,) = re.findall(r"/settings/browsers/\w+/sign-out/", desk.get("/settings/").content.decode())
    assert desk.post(address)["Location"] == "/settings/"
    assert phone.get("/settings/").status_code == 302
    assert desk.get("/settings/").status_code == 200


def test_signing_out_a_browser_that_is_gone_says_so():
    desk = let_in(FIREFOX)
    answer = desk.post("/settings/browsers/0123456789abcdef/sign-out/")
    assert answer.status_code == 404
    assert "signed out already" in answer.content.decode()
    assert desk.get("/settings/browsers/0123456789abcdef/sign-out/").status_code == 405


def test_a_visitor_may_do_none_of_it(client, owner):
    name = browsers.name_of(let_in(FIREFOX).session.session_key)
    for address in (f"/settings/browsers/{name}/sign-out/", "/settings/password/", "/settings/phones/"):
        assert client.post(address).status_code == 302
    assert len(browsers.let_in_now(owner, None)) == 1
    owner.refresh_from_db()
    assert not owner.has_usable_password()


def test_a_password_is_set_and_signs_the_others_out(owner):
    desk, phone = let_in(FIREFOX), let_in(IPHONE)
    answer = desk.post("/settings/password/", {"password": "kelp and lantern", "again": "kelp and lantern"})
    assert answer["Location"] == "/settings/"
    assert "A password is set." in desk.get("/settings/").content.decode()
    assert phone.get("/settings/").status_code == 302
    owner.refresh_from_db()
    assert owner.check_password("kelp and lantern")


def test_changing_the_password_asks_for_the_present_one_and_counts_tries(owner):
    owner.set_password("kelp and lantern")
    owner.save()
    desk = let_in(FIREFOX)
    new = {"password": "another long one", "again": "another long one"}
    assert "Present password" in desk.get("/settings/").content.decode()
    assert desk.post("/settings/password/", new).status_code == 422
    for _ in range(5):
        answer = desk.post("/settings/password/", {**new, "present": "a guess"})
        assert "That is not the present password." in answer.content.decode()
    answer = desk.post("/settings/password/", {**new, "present": "kelp and lantern"})
    assert "Too many wrong passwords" in answer.content.decode()
    WrongPassword.objects.all().delete()
    assert desk.post("/settings/password/", {**new, "present": "kelp and lantern"}).status_code == 302
    owner.refresh_from_db()
    assert owner.check_password("another long one")


def test_a_pairing_code_dies_with_the_old_password():
    desk = let_in(FIREFOX)
    code = services.make_key(OneTimeKey.Opens.PHONE)
    desk.post("/settings/password/", {"password": "kelp and lantern", "again": "kelp and lantern"})
    assert services.use_key(code) is None


@pytest.mark.parametrize(
    ("password", "again", "said"),
    [
        ("kelp and lantern", "kelp and lamp", "The two differ."),
        ("short", "short", "at least 10 characters"),
        ("1234567890", "1234567890", "too common"),
        ("", "", "This field is required."),
    ],
)
def test_a_bad_password_is_said_by_its_field_and_not_set(owner, password, again, said):
    desk = let_in(FIREFOX)
    answer = desk.post("/settings/password/", {"password": password, "again": again})
    assert answer.status_code == 422
    assert said in answer.content.decode()
    owner.refresh_from_db()
    assert not owner.has_usable_password()


def test_the_page_costs_three_queries(owner_client, django_assert_num_queries):
    for _ in range(3):
        let_in(IPHONE)
    # session, user, the browsers that are let in
    with django_assert_num_queries(3):
        owner_client.get("/settings/")


def test_the_addresses_stand_there_when_the_network_is_open(owner_client, settings):
    assert "start with <code>--lan</code>" in owner_client.get("/settings/").content.decode()
    settings.LAN, settings.LAN_ADDRESSES, settings.PORT = True, ["192.168.7.20"], 8999
    assert "http://192.168.7.20:8999/" in owner_client.get("/settings/").content.decode()
    settings.LAN_ADDRESSES = []
    assert "no address on a network just now" in owner_client.get("/settings/").content.decode()


def test_the_programs_version_stands_there(owner_client):
    assert f"Siltmark {catalogue.__version__}" in owner_client.get("/settings/").content.decode()


def test_a_browser_whose_note_is_missing_is_listed_all_the_same(owner_client, owner):
    (only,) = browsers.let_in_now(owner, owner_client.session.session_key)
    assert (only.words, only.since, only.is_this) == ("a browser", None, True)

"""What every answer carries, and whose names are listened to."""

import pytest

pytestmark = pytest.mark.django_db


def test_a_page_carries_the_strict_headers(client):
    answer = client.get("/enter/")
    policy = answer["Content-Security-Policy"]
    for rule in ("default-src 'self'", "script-src 'self'", "style-src 'self'", "frame-ancestors 'none'"):
        assert rule in policy
    assert "unsafe" not in policy
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["X-Frame-Options"] == "DENY"
    assert answer["Referrer-Policy"] == "same-origin"


@pytest.mark.parametrize("host", ["elsewhere.example", "127.0.0.1.elsewhere.example", "192.168.7.20", ""])
def test_a_name_that_is_not_ours_gets_nothing(client, host):
    answer = client.get("/enter/", headers={"Host": host})
    assert answer.status_code == 400
    assert "could not be read" in answer.content.decode()


@pytest.mark.parametrize("host", ["127.0.0.1:8737", "localhost:8737", "[::1]:8737"])
def test_our_own_names_are_answered(client, host):
    assert client.get("/enter/", headers={"Host": host}).status_code == 200


def test_the_session_cookie_is_out_of_reach_of_scripts_and_other_sites(owner_client, settings):
    owner_client.get("/settings/")
    cookie = owner_client.cookies[settings.SESSION_COOKIE_NAME]
    assert settings.SESSION_COOKIE_NAME.startswith("siltmark_session_")
    assert settings.SESSION_COOKIE_HTTPONLY and settings.SESSION_COOKIE_SAMESITE == "Lax"
    assert cookie.value


def test_the_plain_tables_open_for_the_owner_alone(owner_client, client, administration):
    assert owner_client.get("/admin/").status_code == 200
    assert client.get("/admin/")["Location"].startswith(("/enter/", "/admin/login/"))

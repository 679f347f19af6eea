"""Cross-site request forgery: no address does anything for the owner's browser without the form's token."""

import pytest
from django.test import Client

from tests.access.address_table import rows
from tests.access.example_rows import Examples, made_examples

ADDRESSES = {row.address: row for row in rows()}
ELSEWHERE = {"Origin": "https://elsewhere.example", "Sec-Fetch-Site": "cross-site"}


@pytest.fixture(scope="module")
def examples(module_pictures) -> Examples:
    return module_pictures(made_examples)[0]


@pytest.mark.parametrize("address", ADDRESSES)
def test_a_form_without_its_token_is_refused(address: str, examples: Examples, owner, settings) -> None:
    browser = Client(enforce_csrf_checks=True)
    browser.force_login(owner)
    browser.get("/settings/")
    asked, token = examples.fill(address), browser.cookies[settings.CSRF_COOKIE_NAME].value
    # No page of another site knows the token; one that guesses it still comes from elsewhere.
    for sent, headers in (({}, {}), ({"csrfmiddlewaretoken": "a" * 64}, {}),
                          ({"csrfmiddlewaretoken": token}, ELSEWHERE)):  # fmt: skip
        said = browser.post(asked, sent, headers=headers)
        expected = 405 if ADDRESSES[address].owner == "key" else 403
        assert said.status_code == expected, (sent, headers)

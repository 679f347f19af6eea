"""The room's address until it was named Giving: printed pages and bookmarks still lead there."""

import pytest

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("/giveaways/", "/giving/"),
        ("/giveaways/?page=2", "/giving/?page=2"),
        ("/giveaways/2025.1.2/promise/", "/giving/2025.1.2/promise/"),
    ],
)
def test_it_leads_to_the_new_one_for_everybody(client, old: str, new: str) -> None:
    answer = client.get(old)
    assert (answer.status_code, answer["Location"]) == (308, new)


def test_a_form_sent_there_is_sent_on_as_it_is(owner_client) -> None:
    answer = owner_client.post("/giveaways/2025.1.2/standing/", {"standing": "free"})
    assert answer.status_code == 308

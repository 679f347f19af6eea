"""A piece said to be back with a form that can't be read: told, never an error."""

import pytest

from tests import factories


@pytest.mark.django_db
@pytest.mark.parametrize("sent", [{}, {"on": "31.2.2026"}, {"version": "x"}, {"on": "9" * 30, "next": "{}"}])
def test_it_is_told(owner_client, sent):
    find = factories.find(standing="kept")
    answer = owner_client.post(f"/giving/{find.number}/came-back/", sent)
    assert answer.status_code == 302
    find.refresh_from_db()
    assert find.standing == "kept"

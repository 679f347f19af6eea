"""Several browsers at the same moment, on a real file."""

import threading
from collections.abc import Callable
from typing import Any

import pytest
from django.db import close_old_connections, connection
from django.test import Client

AtOnce = Callable[..., list[Any]]


def signed_in() -> Client:
    """A browser of the owner's."""
    from catalogue.access.services import the_owner

    client = Client()
    client.force_login(the_owner())
    return client


@pytest.fixture
def browser(transactional_db: None) -> Client:
    """As `owner_client`, where several write at once."""
    return signed_in()


@pytest.fixture
def at_once(transactional_db: None) -> AtOnce:
    """Send forms, each `(address, values)`, all at the same moment, each by a connection of its own."""

    def send_all(*forms: tuple[str, dict[str, Any]]) -> list[Any]:
        clients = [signed_in() for _ in forms]
        start, answers = threading.Barrier(len(forms)), [None] * len(forms)

        def send(n: int) -> None:
            try:
                start.wait(timeout=20)
                answers[n] = clients[n].post(*forms[n])
            finally:
                connection.close()

        threads = [threading.Thread(target=send, args=(n,)) for n in range(len(forms))]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(timeout=120)
        close_old_connections()
        return answers

    return send_all

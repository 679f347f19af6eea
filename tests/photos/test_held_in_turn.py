"""Held pictures take their turn among forms: none of many writers waits until the database gives up."""

import threading

import pytest
from django.db import connection, connections, transaction

from catalogue.common.forms.idempotency_key import in_turn_of_forms
from catalogue.photos.models import HeldPicture
from catalogue.photos.services import hold
from tests.photos.drawn import encoded, picture, upload

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(connection.vendor != "sqlite", reason="a server hands on turns by itself"),
]


def test_a_picture_that_is_held_waits_for_the_form_that_is_being_kept(data_folder):
    sent = upload(encoded(picture(64, 48)))

    def send() -> None:
        hold(sent, holder="user-1")
        connections.close_all()

    with in_turn_of_forms():
        other = threading.Thread(target=send)
        other.start()
        other.join(1.5)
        assert other.is_alive() and not HeldPicture.objects.exists()
    other.join(60)
    assert HeldPicture.objects.count() == 1


def test_within_a_transaction_nobody_waits_for_a_turn_that_another_has(data_folder):
    """It would keep the database from whoever has the turn."""
    taken, done = threading.Event(), threading.Event()

    def have_the_turn() -> None:
        with in_turn_of_forms():
            taken.set()
            done.wait(60)

    other = threading.Thread(target=have_the_turn)
    other.start()
    assert taken.wait(60)
    try:
        with transaction.atomic():
            assert hold(upload(encoded(picture(64, 48))), holder="user-1").pk
    finally:
        done.set()
        other.join(60)

"""Undo offered in a notice: the message that says what was done carries the address that takes it back."""

from typing import Final

from django.contrib import messages
from django.http import HttpRequest

# `parts/messages.html` draws the button from it.
UNDO_TAG: Final = "undo:"


def say_with_undo(request: HttpRequest, words: str, address: str) -> None:
    """Say what was done, with a button that posts to `address`; that one asks what has changed since."""
    messages.success(request, words, extra_tags=f"{UNDO_TAG}{address}")

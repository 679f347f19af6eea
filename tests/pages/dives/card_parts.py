"""A dive's card with pictures on it, and its page pressed."""

from collections.abc import Sequence

from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from catalogue.photos.models import CardGroup, CardPicture
from catalogue.photos.services.cards import put_on_card, sort_card
from catalogue.sites.models import Dive
from tests.photos.card_shots import Taken, card


def address(dive: Dive) -> str:
    return reverse("dives:card", args=[dive.year, dive.ordinal])


def arrive(dive: Dive) -> str:
    return reverse("dives:card_arrive", args=[dive.year, dive.ordinal])


def filled(dive: Dive, tags: Sequence[str] = ("T-65", "T-66", "T-67"), **how) -> list[Taken]:
    """Pictures of those pieces put on the card and sorted."""
    taken = card(tags, **{"each": 2, **how})
    for each in taken:
        put_on_card(each.file, dive)
    sort_card(dive)
    return taken


def press(client: Client, dive: Dive, act: str, **sent) -> HttpResponse:
    return client.post(address(dive), {"act": act, **sent})


def groups(dive: Dive) -> list[CardGroup]:
    return list(dive.card_groups.all())


def pictures(dive: Dive, place: int) -> list[CardPicture]:
    """The pictures of the group at that place, from 0."""
    return list(groups(dive)[place].pictures.all())


def told(answer: HttpResponse) -> list[str]:
    return [str(message) for message in answer.wsgi_request._messages]

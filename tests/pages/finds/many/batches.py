"""Choosing finds and acting on them, as the pages are walked."""

import re
from typing import Any

from django.http import HttpResponse
from django.test import Client

from catalogue.specimens.models import BatchAct, Specimen


def choose(client: Client, *finds: Specimen, act: str = "", **more: Any) -> int:
    """Tick these and go on; the key of the choice."""
    data = {"find": [find.number for find in finds], "act": act, "next": "/finds/", **more}
    answer = client.post("/finds/many/", data)
    assert answer.status_code == 302, answer.content.decode()
    found = re.search(r"/finds/many/(\d+)/", answer["Location"])
    assert found
    return int(found[1])


def look(client: Client, key: int, act: str, **fields: Any) -> HttpResponse:
    """The page that shows what would change."""
    return client.get(f"/finds/many/{key}/", {"act": act, "look": "yes", **fields})


def do(client: Client, key: int, act: str, how: str = "all", **fields: Any) -> HttpResponse:
    """Press the button, with the version that the page was shown with."""
    seen = fields.pop("seen", None) or look(client, key, act, **fields).context["seen"]
    return client.post(f"/finds/many/{key}/", {"act": act, "how": how, "seen": seen, **fields}, follow=True)


def undo(client: Client, key: int) -> str:
    """Take it back; the page that answers."""
    return client.post(f"/finds/many/{key}/undo/", {"next": "/finds/"}, follow=True).content.decode()


def fresh(*finds: Specimen) -> list[Specimen]:
    """As they are stored now."""
    return [Specimen.everything.get(pk=find.pk) for find in finds]


def last() -> BatchAct:
    """The choice made last."""
    return BatchAct.objects.latest("pk")

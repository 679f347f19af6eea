"""What the code of a label holds: an address under which a phone opens the piece, or its number alone.

A default start is served to this computer alone; a code of its address is dead on every phone. So that one is
never printed unasked.
"""

from dataclasses import dataclass
from urllib.parse import urlsplit

from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse

from catalogue.access.startup import network
from catalogue.common.models import HouseSettings

NUMBER_ALONE = "number"
OWN_ADDRESS = "own"
# What the choices are shown with, where no piece is at hand.
SAMPLE_NUMBER = "2026.14.3"


@dataclass(frozen=True, slots=True)
class CodeChoice:
    """One thing that the code may hold; `value` stands before the find's path, or is `NUMBER_ALONE`.

    `text` is what it holds, `why` one would take it.
    """

    value: str
    text: str
    why: str


def code_text(base: str, number: str) -> str:
    """What the code of a find holds."""
    return number if base == NUMBER_ALONE else base + reverse("short", args=[number])


def opens_here_alone(base: str) -> bool:
    """Whether an address leads to the very machine that reads it, as on a default start."""
    host = urlsplit(base).hostname or ""
    return host == "localhost" or host.endswith(".localhost") or network.is_own_machine(host)


def code_choices(house: HouseSettings, request: HttpRequest, number: str = SAMPLE_NUMBER) -> list[CodeChoice]:
    """What can be chosen, without an address of one's own that is typed now."""
    bases = {house.label_address: "as it was set"} if house.label_address else {}
    for base in _on_network():
        bases.setdefault(base, "this computer’s address on the network, until the network gives it another")
    for name in settings.LAN_NAMES:
        bases.setdefault(f"http://{name}:{settings.PORT}", "this computer’s name on the network")
    if read_at := _read_at(request):
        bases.setdefault(read_at, "as this page is read now")
    return [
        *(CodeChoice(base, code_text(base, number), why + _waits(base)) for base, why in bases.items()),
        CodeChoice(NUMBER_ALONE, number, "the number alone, which no network changes; search reads it"),
    ]


def usual_code(house: HouseSettings, request: HttpRequest) -> str:
    """What is chosen unless somebody says otherwise: as last time, else what a phone can open now."""
    if house.label_number_alone:
        return NUMBER_ALONE
    network_now = _on_network()[:1] if settings.LAN else []
    known = [house.label_address, *network_now, _read_at(request), NUMBER_ALONE]
    return next(base for base in known if base)


def phone_code(house: HouseSettings, request: HttpRequest, number: str) -> str:
    """What the code of a paper holds that goes to others: as usual, but never what opens here alone."""
    base = usual_code(house, request)
    return number if base == NUMBER_ALONE or opens_here_alone(base) else code_text(base, number)


def remember_code(house: HouseSettings, base: str) -> None:
    """Print the next labels with the same. One query where it is another than last time."""
    alone = base == NUMBER_ALONE
    address = house.label_address if alone else base.rstrip("/")
    if (house.label_number_alone, house.label_address) != (alone, address):
        house.label_number_alone, house.label_address = alone, address
        house.save()


def _on_network() -> list[str]:
    known = settings.LAN_ADDRESSES or network.routed_addresses()
    return [f"http://{address}:{settings.PORT}" for address in known]


def _read_at(request: HttpRequest) -> str:
    """The address that the page is read at; empty where only this computer can read it there."""
    address = f"{request.scheme}://{request.get_host()}"
    return "" if opens_here_alone(address) else address


def _waits(base: str) -> str:
    host = urlsplit(base).hostname or ""
    served_later = not settings.LAN and network.private_only([host] if network.is_address(host) else [])
    return "; a phone opens it once the catalogue is started with --lan" if served_later else ""

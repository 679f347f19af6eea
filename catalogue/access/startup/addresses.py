"""This machine's own addresses on the networks it is part of."""

import contextlib
import ipaddress
import socket
from collections.abc import Iterable

# Asking which of our addresses would be used to reach these sends nothing. The first is set aside for
# documentation (RFC 5737) and finds the usual way out; the others lie in the three private ranges
# (RFC 1918) and find a network without one, such as a phone's hot spot.
ASK_TOWARDS = ("192.0.2.1", "10.0.0.1", "172.16.0.1", "192.168.0.1", "192.168.43.1", "172.20.10.1")


def fitting(found: Iterable[str]) -> list[str]:
    """Those that a phone at home can use: private, not this machine alone, each once, in order."""
    kept = []
    for text in dict.fromkeys(found):
        address = ipaddress.ip_address(text)
        if address.is_private and not address.is_loopback and not address.is_unspecified:
            kept.append(text)
    return kept


def _towards(target: str) -> str | None:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect((target, 9))
        except OSError:
            return None
        return asking.getsockname()[0]


def on_the_network() -> list[str]:
    """The machine's private IPv4 addresses, the usual one first; empty without a network."""
    found = [address for target in ASK_TOWARDS if (address := _towards(target))]
    with contextlib.suppress(OSError):
        found += [entry[4][0] for entry in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)]
    return fitting(str(address) for address in found)

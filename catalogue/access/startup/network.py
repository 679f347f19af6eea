"""The port on which the catalogue listens, and this machine's own addresses on the networks it is part of."""

import contextlib
import errno
import ipaddress
import os
import socket
from collections.abc import Iterable

from catalogue.access.startup import StartRefused

LOOPBACK = "127.0.0.1"
ALL_INTERFACES = "0.0.0.0"
# A label of a name in the DNS (RFC 1035).
LONGEST_NAME = 63
# Asking which of our addresses would be used to reach these sends nothing. The first is set aside for
# documentation (RFC 5737) and finds the usual way out; the others lie in the three private ranges
# (RFC 1918) and find a network without one, such as a phone's hot spot.
ASK_TOWARDS = ("192.0.2.1", "10.0.0.1", "172.16.0.1", "192.168.0.1", "192.168.43.1", "172.20.10.1")


def listen(port: int, *, lan: bool = False) -> socket.socket:
    """A listening socket, taken before anything slow so that a taken port is said at once.

    Who connects meanwhile waits until the catalogue is ready. Raises StartRefused.
    """
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if os.name == "nt":
        # There, the usual option would let two programs share one port.
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)  # type: ignore[attr-defined]  # Windows only
    else:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((ALL_INTERFACES if lan else LOOPBACK, port))
        listener.listen(128)
    except OSError as error:
        listener.close()
        if error.errno in (errno.EACCES, errno.EPERM):
            raise StartRefused(
                f"This machine does not let you use port {port}: choose one from 1024 on."
            ) from None
        raise StartRefused(f"Port {port} is taken by another program: choose another with --port.") from None
    return listener


def is_own_machine(address: str) -> bool:
    """Whether that address is this machine's own, which no other can send from."""
    try:
        return ipaddress.ip_address(address).is_loopback
    except ValueError:
        return False


def is_address(host: str) -> bool:
    """Whether it is an address in numbers, not a name."""
    try:
        ipaddress.ip_address(host)
    except ValueError:
        return False
    return True


def private_only(found: Iterable[str]) -> list[str]:
    """Those that a phone at home can use: private, not this machine alone, each once, in order."""
    kept = []
    for text in dict.fromkeys(found):
        address = ipaddress.ip_address(text)
        if address.is_private and not address.is_loopback and not address.is_unspecified:
            kept.append(text)
    return kept


def routed_addresses() -> list[str]:
    """Those of them that messages to other machines would leave by: asked without looking up any name."""
    return private_only(address for target in ASK_TOWARDS if (address := _address_towards(target)))


def own_names() -> list[str]:
    """This machine's name as multicast DNS tells it on the local network (RFC 6762), if it has one."""
    name = socket.gethostname().partition(".")[0]
    plain = name.isascii() and name.replace("-", "").isalnum() and len(name) <= LONGEST_NAME
    return [f"{name.lower()}.local"] if plain and name.lower() != "localhost" else []


def private_addresses() -> list[str]:
    """The machine's private IPv4 addresses, the usual one first; empty without a network."""
    found = routed_addresses()
    with contextlib.suppress(OSError):
        entries = socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)
        found += [str(entry[4][0]) for entry in entries]
    return private_only(found)


def _address_towards(target: str) -> str | None:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect((target, 9))
        except OSError:
            return None
        return str(asking.getsockname()[0])

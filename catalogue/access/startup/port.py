"""The port on which the catalogue listens."""

import errno
import os
import socket

from catalogue.access.startup.refusal import Refused

LOOPBACK = "127.0.0.1"
EVERYWHERE = "0.0.0.0"


def listen(port: int, *, lan: bool = False) -> socket.socket:
    """A listening socket, taken before anything slow so that a taken port is said at once.

    Who connects meanwhile waits until the catalogue is ready. Raises Refused.
    """
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if os.name == "nt":
        # There, the usual option would let two programs share one port.
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)  # type: ignore[attr-defined]
    else:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((EVERYWHERE if lan else LOOPBACK, port))
        listener.listen(128)
    except OSError as error:
        listener.close()
        if error.errno in (errno.EACCES, errno.EPERM):
            raise Refused(
                f"This machine does not let you use port {port}: choose one from 1024 on."
            ) from None
        raise Refused(f"Port {port} is taken by another program: choose another with --port.") from None
    return listener

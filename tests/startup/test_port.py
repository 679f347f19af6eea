"""The port."""

import errno
import socket

import pytest

from catalogue.access.startup import port
from catalogue.access.startup.refusal import Refused
from tests.running import free_port


def test_it_listens_on_this_machine_alone():
    listener = port.listen(number := free_port())
    with listener, socket.create_connection(("127.0.0.1", number)):
        assert listener.getsockname() == ("127.0.0.1", number)


def test_on_the_network_it_listens_everywhere():
    with port.listen(free_port(), lan=True) as listener:
        assert listener.getsockname()[0] == "0.0.0.0"


def test_a_taken_port_is_said():
    with port.listen(number := free_port()), pytest.raises(Refused, match=f"Port {number} is taken"):
        port.listen(number)


def test_a_port_that_the_system_keeps_is_said(monkeypatch):
    def refuse(self, address):
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(socket.socket, "bind", refuse)
    with pytest.raises(Refused, match="does not let you use port 80"):
        port.listen(80)

"""The port, and this machine's addresses on its networks."""

import errno
import ipaddress
import socket

import pytest

from catalogue.access.startup import StartRefused, network
from tests.running import free_port


def test_it_listens_on_this_machine_alone():
    listener = network.listen(number := free_port())
    with listener, socket.create_connection(("127.0.0.1", number)):
        assert listener.getsockname() == ("127.0.0.1", number)


def test_on_the_network_it_listens_everywhere():
    with network.listen(free_port(), lan=True) as listener:
        assert listener.getsockname()[0] == "0.0.0.0"


def test_a_taken_port_is_said():
    with network.listen(number := free_port()), pytest.raises(StartRefused, match=f"Port {number} is taken"):
        network.listen(number)


def test_a_port_that_the_system_keeps_is_said(monkeypatch):
    def refuse(self, address):
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(socket.socket, "bind", refuse)
    with pytest.raises(StartRefused, match="does not let you use port 80"):
        network.listen(80)


def test_only_private_ones_are_kept_each_once_and_in_order():
    found = ["192.168.7.20", "127.0.0.1", "8.8.8.8", "10.4.0.9", "192.168.7.20", "0.0.0.0", "127.0.1.1"]
    assert network.private_only(found) == ["192.168.7.20", "10.4.0.9"]


def test_this_machines_own_can_be_listened_on():
    for text in network.private_addresses():
        assert ipaddress.ip_address(text).is_private
        with socket.socket() as trial:
            trial.bind((text, 0))


def test_a_machine_without_network_has_none(monkeypatch):
    def unreachable(*args):
        raise OSError("network is unreachable")

    monkeypatch.setattr(socket.socket, "connect", unreachable)
    monkeypatch.setattr(socket, "getaddrinfo", unreachable)
    assert network.private_addresses() == []

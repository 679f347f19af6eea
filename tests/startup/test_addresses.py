"""This machine's addresses on its networks."""

import ipaddress
import socket

from catalogue.access.startup import addresses


def test_only_private_ones_are_kept_each_once_and_in_order():
    found = ["192.168.7.20", "127.0.0.1", "8.8.8.8", "10.4.0.9", "192.168.7.20", "0.0.0.0", "127.0.1.1"]
    assert addresses.fitting(found) == ["192.168.7.20", "10.4.0.9"]


def test_this_machines_own_can_be_listened_on():
    for text in addresses.on_the_network():
        assert ipaddress.ip_address(text).is_private
        with socket.socket() as trial:
            trial.bind((text, 0))


def test_a_machine_without_network_has_none(monkeypatch):
    def unreachable(*args):
        raise OSError("network is unreachable")

    monkeypatch.setattr(socket.socket, "connect", unreachable)
    monkeypatch.setattr(socket, "getaddrinfo", unreachable)
    assert addresses.on_the_network() == []

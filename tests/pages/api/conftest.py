"""Programs with their keys."""

import pytest
from django.test import Client

from catalogue.access.api_keys import make_api_key


class Program:
    """A program with its key."""

    def __init__(self, sees: str) -> None:
        self.headers = {"Authorization": f"Bearer {make_api_key('A program', sees)}"}

    def get(self, address: str, status: int = 200, **headers: str):
        said = Client().get(address, headers=self.headers | headers)
        assert said.status_code == status, said.content
        return said

    def every(self, address: str) -> list[dict]:
        items: list[dict] = []
        while address:
            part = self.get(address).json()
            items += part["items"]
            address = part["next"]
        return items


@pytest.fixture
def whole(db) -> Program:
    return Program("whole")


@pytest.fixture
def public(db) -> Program:
    return Program("public")

"""Each history's page: its fields have names of the screen, and the record's own page leads there."""

import pytest

from catalogue.pages.parts.history_kinds import (
    HISTORY_KINDS,
    SCREEN_NAMES,
    history_address,
    history_kind_of,
    told_columns,
)
from tests.pages.history.kinds import pages_of_kinds


@pytest.mark.parametrize("kind", HISTORY_KINDS.values(), ids=lambda kind: kind.key)
def test_each_field_that_is_told_has_a_name_of_the_screen(kind) -> None:
    """A name that Django made of the column's own is one only where it is a plain word."""
    columns = told_columns(kind.model, kind.derived)
    columns += [
        column
        for part in kind.parts
        if part.words is None
        for column in told_columns(part.model, frozenset({part.column}))
    ]
    assert len(columns) > 2
    for column in columns:
        made = str(column.verbose_name) == column.name.replace("_", " ")
        plain = "_" not in column.name
        assert not made or plain or column.name in SCREEN_NAMES, f"{kind.key}: {column.name}"


@pytest.fixture
def pages(db, data_folder) -> dict[str, tuple[object, str]]:
    return pages_of_kinds()


@pytest.mark.parametrize("key", HISTORY_KINDS)
def test_its_page_leads_to_its_history_which_opens(key: str, pages, owner_client) -> None:
    record, address = pages[key]
    page = owner_client.get(address)
    assert page.status_code == 200, address
    assert f'href="{history_address(record)}">Who changed what</a>' in page.content.decode()
    told = owner_client.get(history_address(record))
    assert told.status_code == 200 and "Recorded" in told.content.decode()
    assert history_kind_of(record) is HISTORY_KINDS[key]

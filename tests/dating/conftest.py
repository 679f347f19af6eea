"""What the dating tests share: the packaged tables, and a short way to ask."""

from collections.abc import Callable
from typing import Any

import pytest

from dating import Case, Finding, Reference, assess, reference

Ask = Callable[..., Finding]


@pytest.fixture(scope="session")
def ref() -> Reference:
    return reference()


@pytest.fixture(scope="session")
def ask(ref: Reference) -> Ask:
    """``ask({"features": [...]})`` → the finding, in a fixed year."""

    def asked(given: dict[str, Any], **options: Any) -> Finding:
        return assess(Case.from_dict({"this_year": 2026, **given}, ref), ref, **options)

    return asked

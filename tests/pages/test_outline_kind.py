"""What is no bottle is not drawn as one."""

import pytest

from catalogue.common.drawings.profiles import NO_VESSEL
from catalogue.pages.parts.cards import outline_kind, outline_of
from catalogue.specimens.models import Specimen


@pytest.mark.parametrize(
    ("kind", "flags", "drawn"),
    [
        ("", "|munition|", NO_VESSEL),
        ("other", "|crack|remains|", NO_VESSEL),
        ("other", "|crack|sealed|", "other"),
        ("", None, "other"),
        ("jar", "|remains|", "jar"),  # ashes in a jar: it is a jar all the same
    ],
)
def test_munition_and_bones_are_no_bottle(kind: str, flags: str | None, drawn: str) -> None:
    find = Specimen(kind=kind, care_flags=flags)
    assert outline_kind(find) == drawn
    assert f"silhouette-{drawn}" in outline_of(find)

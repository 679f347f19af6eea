"""One base under every form that writes: what all of them carry has one place."""

import importlib
from collections.abc import Iterator

import pytest
from django import forms
from django.http import QueryDict

from catalogue.common.forms import HouseForm, WritingForm
from catalogue.common.forms.composite import CompositeForm
from tests.house.imports import ROOT

# Forms that keep nothing, each with its reason.
WRITE_NOTHING = {
    "EnterForm": "signs in",
    "SheetForm": "chooses what is printed",
    "OpenFormatForm": "chooses what is taken out",
}


def below(base: type) -> Iterator[type]:
    """Every class that derives from it."""
    for kind in base.__subclasses__():
        yield kind
        yield from below(kind)


def our_forms() -> list[type]:
    """Every form class written in the catalogue, after reading in every module."""
    for path in (ROOT / "catalogue").rglob("*.py"):
        if not {"migrations", "commands"} & set(path.parts) and path.stem not in {"__main__", "asgi", "wsgi"}:
            module = ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")
            importlib.import_module(module)
    kinds = {k for k in below(forms.BaseForm) if k.__module__.startswith("catalogue.")}
    return sorted(kinds, key=lambda kind: (kind.__module__, kind.__qualname__))


def test_every_form_that_writes_derives_from_the_one_base() -> None:
    kinds = our_forms()
    assert len(kinds) > 40
    others = [
        f"{kind.__module__}.{kind.__qualname__}"
        for kind in kinds
        # classes that Django's factories make derive from ours
        if not issubclass(kind, WritingForm) and kind.__name__ not in WRITE_NOTHING
    ]
    assert others == []


class Named(HouseForm):
    """A form as a page would have it."""

    name = forms.CharField()


@pytest.mark.parametrize(("sent", "key", "version"), [("", "", ""), ("once=abc&seen=12", "abc", "12")])
def test_a_form_carries_its_key_and_its_version(sent: str, key: str, version: str) -> None:
    form = Named(QueryDict(sent))
    assert (form.idempotency_key, form.version) == (key, version)
    assert (Named().idempotency_key, Named().version) == ("", "")


class Pair(CompositeForm):
    """Two parts that must not say the same."""

    def __init__(self, data: QueryDict) -> None:
        self.data = data
        self.first, self.second = Named(data, prefix="a"), Named(data, prefix="b")

    @property
    def parts(self) -> list[Named]:
        return [self.first, self.second]

    def agrees(self) -> bool:
        same = self.first.cleaned_data == self.second.cleaned_data
        if same:
            self.second.add_error("name", "Said already.")
        return not same


def test_a_composite_form_asks_every_part_and_then_all_together() -> None:
    assert Pair(QueryDict("a-name=x&b-name=y")).is_valid()
    both = Pair(QueryDict(""))
    assert not both.is_valid() and all(part.errors for part in both.parts)
    same = Pair(QueryDict("a-name=x&b-name=x"))
    assert not same.is_valid() and same.second.errors["name"] == ["Said already."]
    same.forget_errors()
    assert not same.second.errors

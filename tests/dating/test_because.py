"""Reasons: bits by leaving one out, what was cut, sources and weights in words."""

from math import log2

import pytest

from dating.reasons import divergence

from .conftest import Ask


def test_bits_are_the_divergence_from_the_rest(ask: Ask) -> None:
    finding = ask({"features": ["acl", "embossed-lettering"]})
    without = ask({"features": ["embossed-lettering"]})
    reason = next(r for r in finding.because if r.key == "acl")
    expected = sum(p * log2(p / q) for p, q in zip(finding.posterior, without.posterior, strict=True))
    assert reason.bits == pytest.approx(expected)


def test_most_telling_first_and_whole(ask: Ask) -> None:
    finding = ask(
        {
            "features": ["colour-aqua", "acl"],
            "known": [{"what": "shop", "from": 1935, "source": "a directory"}],
        }
    )
    bits = [reason.bits for reason in finding.because]
    assert bits == sorted(bits, reverse=True)
    acl = next(r for r in finding.because if r.key == "acl")
    assert (acl.evidence, acl.start, acl.end) == ("Applied colour label (ACL)", 1931, None)
    assert "Lockhart" in acl.source
    shop = next(r for r in finding.because if r.kind == "known")
    assert (shop.evidence, shop.source) == ("Shop", "a directory")


def test_what_it_cut(ask: Ask) -> None:
    finding = ask({"features": ["applied-finish", {"id": "acl", "certainty": "doubtful"}, "colour-aqua"]})
    cuts = {reason.key: reason.cut for reason in finding.because}
    assert cuts["applied-finish"] == "without it: not yet dated"
    assert cuts["acl"].startswith("doubtful")
    assert cuts["colour-aqua"] == "leaves the window as it is"


def test_without_one_of_three(ask: Ask) -> None:
    finding = ask({"features": ["tooled-finish", "colour-amethyst-tint", "capseat-milk"]})
    reason = next(r for r in finding.because if r.key == "capseat-milk")
    assert reason.without == (1870, 1925)
    assert reason.cut == "without it: about 1870 to 1925"


def test_divergence_of_equals_and_zeros() -> None:
    assert divergence([0.5, 0.5], [0.5, 0.5]) == 0
    assert divergence([1.0, 0.0], [0.5, 0.5]) == pytest.approx(1)

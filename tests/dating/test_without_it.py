"""“Without it: …” is the headline of the same bottle without that piece, by the headline's own rule."""

import random
from typing import Any

from dating import Case, Finding, Reference, assess

WITHOUT = "without it: "


def given_cases(ref: Reference, number: int) -> list[dict[str, Any]]:
    draw = random.Random(13)
    features = [name for name, row in ref.features.items() if name not in ref.copies and not row.variant_of]
    marks = [mark.letters for mark in ref.marks.values() if mark.letters]
    out = []
    for _ in range(number):
        letters = draw.choice(marks)
        place = draw.randrange(len(letters))
        worn = letters[:place] + draw.choice([letters[place], "?", "[HN]"]) + letters[place + 1 :]
        reading = {"letters": worn, "right": draw.choice([None, "7", "48"])}
        out.append({"marks": [reading], "features": draw.sample(features, 2)})
    return out


def left_out(given: dict[str, Any], kind: str, key: str) -> dict[str, Any]:
    if kind == "mark":
        return {**given, "marks": []}
    return {**given, "features": [name for name in given["features"] if name != key]}


def test_without_it_is_what_the_service_says_without_it(ref: Reference) -> None:
    seen = 0
    for given in given_cases(ref, 150):
        whole = asked(given, ref)
        for reason in whole.because:
            # one of a family: the others take its place in another way
            if reason.cut.startswith(WITHOUT) and not (
                reason.kind == "feature" and ref.family_of(reason.key)
            ):
                without = asked(left_out(given, reason.kind, reason.key), ref)
                assert reason.without == without.window, given
                if without.window:
                    assert reason.cut == WITHOUT + without.words, given
                    seen += 1
    assert seen > 50


def asked(given: dict[str, Any], ref: Reference) -> Finding:
    return assess(Case.from_dict({"this_year": 2026, **given}, ref), ref)

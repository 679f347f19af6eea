"""The same bad input to the service, the command and the form: answered alike, or refused by its field."""

import json
from typing import Any

import pytest

from catalogue.specimens.models import Specimen
from dating import Case, CaseError, assess, reference
from dating.command import answer

from .record_form import filled, reading

pytestmark = pytest.mark.django_db
NEXT_YEAR = Case.from_dict({}, reference()).this_year + 1
LETTERS = "".join("ABCDEFGH"[n % 8] for n in range(200))
TWENTY = [f"{one}?[HN]" for one in "ABCDEFGHKLMNOPQRSTUV"]

# What the service is given, what the form is, and by which field each refuses it ("" where it is answered).
Way = tuple[dict[str, Any], dict[str, Any], str, str]
WAYS: dict[str, Way] = {
    "an unknown country": ({"region": "XX"}, {"region": "XX"}, "region", "region"),
    "a region and a mark that exclude each other": (
        {"region": "DE", "marks": [{"letters": "LG", "right": "69", "at": "base"}]},
        {"region": "DE", "readings": [reading(letters="LG", right="69")]},
        "",
        "",
    ),
    "two hundred letters": (
        {"marks": [{"letters": LETTERS, "at": "base"}]},
        {"readings": [reading(letters=LETTERS)]},
        "marks[0].letters",
        "letters",
    ),
    "only gaps": (
        {"marks": [{"letters": "[..][..]", "at": "base"}]},
        {"readings": [reading(letters="[..][..]")]},
        "",
        "",
    ),
    "only question marks": (
        {"marks": [{"letters": "????", "at": "base"}]},
        {"readings": [reading(letters="????")]},
        "",
        "",
    ),
    "twenty readings": (
        {"marks": [{"letters": letters, "at": "base"} for letters in TWENTY]},
        {"readings": [reading(letters=letters) for letters in TWENTY]},
        "",
        "",
    ),
    "the same reading twice with different certainty": (
        {"marks": [{"letters": "LG", "at": "base", "certainty": sure} for sure in ("doubtful", "certain")]},
        {"readings": [reading(letters="LG", certainty=sure) for sure in ("doubtful", "certain")]},
        "",
        "",
    ),
    "years beyond this year": (
        {"known": [{"what": "law", "from": NEXT_YEAR, "certainty": "certain"}]},
        {"known": [{"what": "law", "from_year": str(NEXT_YEAR), "certainty": "certain"}]},
        "known[0].from",
        "from_year",
    ),
    "a find of a year to come": (
        {"recovered": NEXT_YEAR},
        {"recovered": str(NEXT_YEAR)},
        "recovered",
        "recovered",
    ),
}


@pytest.mark.parametrize(("case", "form", "refused_at", "wrong_field"), WAYS.values(), ids=WAYS)
def test_each_way(owner_client, case, form, refused_at, wrong_field):
    ref = reference()
    said, fine = answer(json.dumps({"id": 7, **case}), ref)
    assert said["id"] == 7 and fine == (not refused_at)
    if refused_at:
        assert said["at"] == refused_at and "\n" not in said["error"]
        with pytest.raises(CaseError) as caught:
            Case.from_dict(case, ref)
        assert (caught.value.message, caught.value.at) == (said["error"], said["at"])
    else:
        assert said["words"] == assess(Case.from_dict(case, ref), ref).words
    so_far = owner_client.post("/finds/dating/", filled(**form))
    assert so_far.status_code == 200
    kept = owner_client.post("/finds/new/", filled(**form))
    if wrong_field:
        assert kept.status_code == 422 and not Specimen.everything.exists()
        sheet = kept.context["sheet"]
        rows = [row for some in sheet.sets.values() for row in some.forms]
        wrong = [by for part in (sheet.find_form, sheet.dive_form, *rows) for by in part.errors]
        assert wrong == [wrong_field]
    else:
        assert kept.status_code == 302, kept.context["problems"]
        assert Specimen.objects.get().made_words == said["words"]
        assert said["words"] in so_far.content.decode()

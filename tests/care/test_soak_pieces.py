"""Several pieces into one water: each is asked about for itself, and nothing is half-saved."""

import re

import pytest

from catalogue.care.models import HazardReason, Soak, SoakMember
from catalogue.care.services import (
    HazardAsksByPiece,
    SoakRefused,
    note_look,
    put_all_in_soak,
    start_load,
    start_soak,
    take_out_of_soak,
)
from catalogue.specimens.models import Specimen
from tests.care.makers import SOAK_FORM, bath, crusted, soak

pytestmark = pytest.mark.django_db

REASON = "The conservator said to soak it"


@pytest.fixture
def pieces() -> tuple[Specimen, Specimen, Specimen]:
    return crusted("A"), crusted("B", found=("sealed",)), crusted("C", found=("unstable",))


def test_which_may_which_may_not_and_why(pieces) -> None:
    with pytest.raises(HazardAsksByPiece) as asked:
        put_all_in_soak(start_soak(soak(), []), pieces)
    told = {each.find.what: (each.refused, each.wants_reason) for each in asked.value.pieces}
    assert told == {"A": (False, False), "B": (True, False), "C": (False, True)}
    lines = {each.find.what: each.line for each in asked.value.pieces}
    assert lines["A"] == "" and "water of its own" in lines["B"] and "conservator" in lines["C"]
    assert not SoakMember.objects.exists() and not HazardReason.objects.exists()


def test_each_with_its_own_reason(pieces) -> None:
    good, _, flaking = pieces
    papered = crusted("D", found=("paper_label",))
    crate = start_soak(soak(), [])
    reasons = {flaking.number: REASON, papered.number: "Its label is gone but for a shred"}
    with pytest.raises(HazardAsksByPiece):
        put_all_in_soak(crate, [good, flaking, papered], reasons={flaking.number: REASON})
    assert not HazardReason.objects.exists()
    assert len(put_all_in_soak(crate, [good, flaking, papered], reasons=reasons)) == 3
    kept = {each.find_id: each.reason for each in HazardReason.objects.all()}
    assert kept == {flaking.pk: REASON, papered.pk: reasons[papered.number]}


def test_one_in_an_acid_bath_keeps_all_of_them_out(pieces) -> None:
    good, _, _ = pieces
    bathed, crate = crusted("E"), start_soak(soak(), [])
    start_load(bath(bathed))
    with pytest.raises(SoakRefused, match="acid bath"):
        put_all_in_soak(crate, [good, bathed])
    assert not SoakMember.objects.exists()
    good.refresh_from_db()
    assert good.stage == "wet"


def sent(pieces, **more) -> dict[str, object]:
    return {"find": [piece.number for piece in pieces], **more}


def test_the_page_asks_piece_by_piece_and_the_rest_goes_in(owner_client, pieces) -> None:
    good, sealed, flaking = pieces
    crate = start_soak(soak(), [])
    here = f"/workbench/soaks/{crate.pk}/pieces/"
    answer = owner_client.post(here, sent(pieces))
    assert answer.status_code == 422 and not SoakMember.objects.exists()
    page = answer.content.decode()
    assert "Nothing is changed yet" in page
    assert re.findall(r'name="find" value="([\d.]+)" checked', page) == [flaking.number, good.number]
    assert f'name="hazard-reason-{flaking.number}"' in page
    assert f'name="hazard-reason-{sealed.number}"' not in page and "may not" in page
    # a word is no reason: what was typed stands there still
    field = {f"hazard-reason-{flaking.number}": "fine"}
    page = owner_client.post(here, sent([good, flaking], **field)).content.decode()
    assert ">fine</textarea>" in page and not SoakMember.objects.exists()
    answer = owner_client.post(here, sent([good, flaking], **{f"hazard-reason-{flaking.number}": REASON}))
    assert answer.status_code == 302
    assert set(SoakMember.objects.values_list("find__what", flat=True)) == {"A", "C"}
    assert HazardReason.objects.get().find == flaking


def test_a_new_soak_asks_and_what_was_typed_of_it_goes_along(owner_client, pieces) -> None:
    good, _, flaking = pieces
    given = {"name": "Green crate", **SOAK_FORM}
    here = "/workbench/soaks/new/"
    page = owner_client.post(here, sent(pieces, **given))
    assert page.status_code == 422 and not Soak.objects.exists()
    assert 'name="name" value="Green crate"' in page.content.decode()
    # what is asked again is not sent twice
    assert page.content.decode().count(f'name="find" value="{good.number}"') == 1
    reason = {f"hazard-reason-{flaking.number}": REASON}
    assert owner_client.post(here, sent([good, flaking], **given, **reason)).status_code == 302
    assert Soak.objects.get().members.count() == 2


def test_a_piece_found_sealed_in_the_water_comes_out_wet_and_goes_no_further() -> None:
    good, sealed = crusted("A"), crusted("B")
    crate = start_soak(soak(), [good, sealed])
    note_look(sealed, ["sealed"])
    for member in crate.members.all():
        take_out_of_soak(member, stage="drying")
    stages = dict(Specimen.objects.values_list("what", "stage"))
    assert stages == {"A": "drying", "B": "wet"}

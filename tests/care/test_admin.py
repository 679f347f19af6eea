"""Care in the plain administration pages."""

import datetime

import pytest
from django.utils import timezone

from catalogue.care.models import ConditionReport, Treatment
from tests import factories as make


@pytest.mark.django_db
@pytest.mark.usefixtures("administration")
@pytest.mark.parametrize("model", ["conditionreport", "treatment"])
def test_lists_and_rows_open(owner_client, model: str) -> None:
    find = make.find("Squat soda")
    report = ConditionReport.objects.create(find=find, on=datetime.date(2025, 8, 26), grade="sound")
    treatment = Treatment.objects.create(find=find, method="soak", begun=timezone.now())
    row = {"conditionreport": report, "treatment": treatment}[model]
    assert find.number in owner_client.get(f"/admin/care/{model}/?q={find.number}").content.decode()
    assert owner_client.get(f"/admin/care/{model}/{row.pk}/change/").status_code == 200

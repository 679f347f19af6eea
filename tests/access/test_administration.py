"""The administration pages: off unless asked for, and then only to look at, whatever is registered there."""

import pytest
from django.contrib import admin
from django.urls import reverse

from catalogue.access.startup import options
from catalogue.specimens.models import Specimen
from tests import factories

pytestmark = pytest.mark.django_db
MODELS = sorted(admin.site._registry, key=lambda model: model._meta.label)


def page(model, what, *args):
    return reverse(f"admin:{model._meta.app_label}_{model._meta.model_name}_{what}", args=args)


def test_they_are_off_without_being_asked_for(owner_client):
    find = factories.find()
    for address in ("/admin/", "/admin/specimens/specimen/", page(Specimen, "change", find.pk)):
        answer = owner_client.get(address)
        assert answer.status_code == 404 and "start with --admin" in answer.content.decode()
    assert owner_client.post(page(Specimen, "delete", find.pk), {"post": "yes"}).status_code == 404
    assert Specimen.objects.get() == find


def test_start_turns_them_on():
    assert not options.read([]).admin and options.read(["--admin"]).admin


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model._meta.label)
def test_no_page_of_them_writes(owner_client, administration, model):
    assert owner_client.get(page(model, "changelist")).status_code == 200
    assert owner_client.get(page(model, "add")).status_code == 403
    for what, args in (("add", ()), ("change", (1,)), ("delete", (1,)), ("changelist", ())):
        assert owner_client.post(page(model, what, *args), {"post": "yes"}).status_code == 403


def test_a_find_is_shown_with_no_way_to_change_it(owner_client, administration):
    find = factories.find("Lemonade bottle")
    shown = owner_client.get(page(Specimen, "change", find.pk)).content.decode()
    assert "Lemonade bottle" in shown and 'name="_save"' not in shown and "deletelink" not in shown
    assert owner_client.post(page(Specimen, "change", find.pk), {"what": "Beer"}).status_code == 403
    assert Specimen.objects.get().what == "Lemonade bottle"


def test_an_earlier_state_is_not_put_back_from_there(owner_client, administration):
    find = factories.find("Lemonade bottle")
    earlier = f"{page(Specimen, 'history', find.pk)}{find.history.first().history_id}/"
    assert owner_client.get(earlier).status_code == 200
    assert owner_client.post(earlier, {"what": "Beer"}).status_code == 403


def test_signing_out_there_works(owner_client, administration):
    assert owner_client.post("/admin/logout/").status_code == 200
    assert "_auth_user_id" not in owner_client.session

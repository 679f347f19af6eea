"""Giving in the plain administration pages."""

import pytest

from catalogue.giving.models import HandOver, Promise
from catalogue.giving.services import hand_over, promise
from tests import factories as make


@pytest.mark.django_db
@pytest.mark.usefixtures("administration")
@pytest.mark.parametrize("model", [Promise, HandOver])
def test_lists_and_rows_open(owner_client, model: type) -> None:
    find, person = make.find("Squat soda"), make.person("Bram Tolley")
    promise(find, person)
    hand_over(find, person)
    address = f"/admin/giving/{model._meta.model_name}/"
    assert "Bram Tolley" in owner_client.get(f"{address}?q=Bram").content.decode()
    assert owner_client.get(f"{address}{model.objects.get().pk}/change/").status_code == 200

"""The lip is asked as two questions: how it was finished, and its shape. The ids of the tables stay."""

import pytest

import dating
from catalogue.pages.finds.form.features_form import FeaturesForm
from catalogue.pages.parts.choices import SHAPES_AT_ONCE, how_common
from catalogue.specimens.models import ObservedFeature, Specimen
from dating.tables import HOW_FINISHED, LIP

from .record_form import filled

pytestmark = pytest.mark.django_db


def asked(**given) -> dict:
    return {question.group.key: question for question in FeaturesForm(**given).questions()}


def test_every_row_of_the_table_is_an_answer_to_one_of_both():
    form = FeaturesForm()
    fields = [form.fields[f"made-{name}"] for name in (LIP, "lip-shape")]
    made, shapes = ({key for key, _ in field.choices if key} for field in fields)
    assert not made & shapes
    assert made | shapes == {feature.id for feature in dating.reference().groups[LIP]}
    assert made == HOW_FINISHED


def test_a_dozen_shapes_come_first_the_commonest_ahead():
    shapes = asked()["lip-shape"].answers
    assert [answer.further for answer in shapes] == [place >= SHAPES_AT_ONCE for place in range(len(shapes))]
    common = [how_common(answer.feature) for answer in shapes if answer.fits]
    assert common == sorted(common, reverse=True)
    assert "crown-finish" in [answer.feature.id for answer in shapes[:SHAPES_AT_ONCE]]


def test_what_fits_the_bottle_comes_before_what_does_not():
    shapes = asked(contents="milk", region="GB")["lip-shape"].answers
    fits = [answer.fits for answer in shapes]
    assert fits == sorted(fits, reverse=True)
    assert not shapes[-1].fits


def test_finish_and_shape_of_one_lip_are_kept_and_come_back(owner_client):
    data = filled(
        **{
            "made-finish": "tooled-finish",
            "sure-finish": "probable",
            "made-lip-shape": "blob-finish-beer",
            "sure-lip-shape": "doubtful",
        }
    )
    assert owner_client.post("/finds/new/", data).status_code == 302
    find = Specimen.objects.get()
    kept = {"tooled-finish": "probable", "blob-finish-beer": "doubtful"}
    assert dict(find.features.values_list("feature", "certainty")) == kept
    assert find.made_words != "not yet dated"
    page = owner_client.get(f"/finds/{find.number}/edit/")
    answered = {q.group.key: q.answered for q in page.context["questions"] if q.answered}
    assert answered == {"finish": "Tooled finish", "lip-shape": "Blob (rounded taper), beer"}


def test_two_shapes_taken_in_from_elsewhere_are_both_kept(owner_client):
    assert owner_client.post("/finds/new/", filled()).status_code == 302
    find = Specimen.objects.get()
    for feature in ("oil-finish", "brandy-finish"):
        ObservedFeature.objects.create(find=find, feature=feature)
    owner_client.post(
        f"/finds/{find.number}/edit/",
        filled(**{"made-finish": "applied-finish", "made-lip-shape": ["oil-finish", "brandy-finish"]}),
    )
    assert {row.feature for row in find.features.all()} == {"applied-finish", "oil-finish", "brandy-finish"}

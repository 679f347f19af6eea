"""The demo: invented throughout, loaded through the same services as the pages."""

import re
from collections import Counter
from itertools import chain
from typing import get_args

import pytest
from django.utils import timezone

import dating
from catalogue.care.acts import Act, act_table
from catalogue.care.care_tables import care_tables
from catalogue.care.models import Treatment
from catalogue.care.piece_facts import knowledge_of
from catalogue.common.text import folded
from catalogue.giving.models import HandOver, Promise
from catalogue.photos import files
from catalogue.photos.models import LaidPair, Photo
from catalogue.photos.models.laid_pair import before_and_after
from catalogue.photos.plates.laying import residual_px
from catalogue.sites.grounds import outlook
from catalogue.sites.models import Dive, Site
from catalogue.sites.queries import sites_told
from catalogue.specimens.gazetteer import named
from catalogue.specimens.models import Bottler, Maker, Specimen, Town, Wish
from demo_fixtures.cut_all import cut
from demo_fixtures.draw.specs import Bed
from demo_fixtures.load import PICTURES, NotEmpty, fill
from demo_fixtures.plan import bed_of, planned
from demo_fixtures.scenario import documented, table


def test_every_picture_is_there_and_they_stay_small():
    plans = list(planned())
    assert len(plans) > 100
    assert {plan.file for plan in plans} == {path.name for path in PICTURES.glob("*.jpg")}
    assert sum(path.stat().st_size for path in PICTURES.glob("*.jpg")) < 15_000_000


@pytest.mark.parametrize("name", ["d03-after", "b05-after"])
def test_cuts_kept_with_the_pictures_are_what_the_catalogue_cuts(name):
    plan = next(plan for plan in planned() if plan.file == f"{name}.jpg")
    assert cut(plan) == (f"{name}.webp", (PICTURES / f"{name}.webp").read_bytes())


def test_pieces_lay_on_four_kinds_of_bed_and_those_of_a_site_on_one():
    sites = {dive["key"]: dive["site"] for dive in table("waters")["dive"]}
    beds = {(sites[row["dive"]], bed_of(row)) for row in documented() if "dive" in row}
    assert {bed for _, bed in beds} == set(get_args(Bed))
    assert len(beds) == len({site for site, _ in beds})


def test_no_town_of_it_is_a_real_one():
    invented = [row["name"] for row in table("trade")["town"]]
    assert invented
    assert not [name for name in invented if named(name)]


def test_no_maker_or_bottler_of_it_is_a_real_one():
    real = {folded(mark.maker) for mark in dating.reference().marks.values()}
    invented = [row["name"] for kind in ("maker", "bottler") for row in table("trade")[kind]]
    assert invented
    for name in invented:
        assert folded(name) not in real
        first = folded(name).split()[0].strip(",.")
        assert not [other for other in real if other.split()[0].strip(",.") == first], name


def test_a_fired_label_bears_a_name_of_its_own_and_no_kind_of_drink():
    """Names of invented goods and bottlers alone: words for a kind of drink may be a brand's."""
    own = {
        word
        for kind in ("product", "bottler")
        for row in table("trade")[kind]
        for word in plain_words(row["name"])
    }
    kinds = {
        "cola",
        "ale",
        "soda",
        "water",
        "ginger",
        "beer",
        "stout",
        "cordial",
        "tonic",
        "seltzer",
        "lemonade",
    }
    labels = [row["draw"]["label"]["lines"] for row in documented() if "label" in row.get("draw", {})]
    assert len(labels) == 3
    for line in chain.from_iterable(labels):
        assert plain_words(line) <= own - kinds, line


def plain_words(text: str) -> set[str]:
    return set(re.findall(r"[a-z]+", text.lower()))


def test_nothing_of_it_lies_in_the_future():
    today = timezone.localdate().isoformat()
    days = re.findall(r"\d{4}-\d{2}-\d{2}", repr(documented()) + repr(table("waters")))
    assert days
    assert max(days) <= today


@pytest.mark.django_db
@pytest.mark.usefixtures("filled")
class TestLoaded:
    def test_it_has_what_the_demo_promises(self):
        assert Specimen.objects.count() >= 60
        assert Dive.objects.count() == 14 and Site.objects.count() == 6
        assert Town.objects.count() == 6 and Maker.objects.own().count() == 4 and Bottler.objects.count() == 8
        stages = Counter(Specimen.objects.values_list("stage", flat=True))
        assert set(stages) == {"wet", "soaking", "cleaning", "drying", "done"}
        standings = set(Specimen.objects.values_list("standing", flat=True))
        assert standings == set(Specimen.Standing.values)
        assert Wish.objects.still_open().count() == 4
        assert Promise.objects.exists() and HandOver.objects.exists() and Treatment.objects.count() > 40
        assert Specimen.objects.filter(number_part="a").exists()

    def test_every_find_with_evidence_has_a_phrase(self):
        bare = Specimen.objects.filter(readings__isnull=False, made_words="not yet dated").distinct()
        assert not [str(find) for find in bare]

    def test_a_letter_that_came_round_three_times_leaves_three_years(self):
        find = Specimen.objects.get(number="2022.2.1")
        assert find.readings.get().right == "C"
        assert find.made_words == "one of 1924, 1936, 1948"
        assert str(find.maker) == "Brackwater Bottle Company"

    def test_a_bottler_that_closed_leaves_two_of_them(self):
        find = Specimen.objects.get(number="2026.1.1")
        assert (find.bottler.to_year, find.readings.get().right) == (1949, "E")  # 1926, 1938 or 1950
        assert find.made_words == "one of 1926, 1938"

    def test_the_other_works_numbered_its_years(self):
        hasp = Specimen.objects.filter(bottler__name="Hasp & Lumley")
        said = {
            find.readings.get().right: find.made_words for find in hasp if find.readings.get().right != "?"
        }
        assert said == {"6": "1931", "9": "1934", "22": "1947"}

    def test_the_page_that_dates_any_bottle_narrows_the_letter_too(self, owner_client):
        def said(more: str) -> str:
            page = owner_client.get(f"/date/?letters=BW&symbol=wave&{more}").content.decode()
            return re.findall(r"one of [\d, ]+\d", page)[0]

        assert said("right=C") == "one of 1924, 1936, 1948"
        # a fired label is later than the first run of the letters
        assert said("right=C&f=acl") == "one of 1936, 1948"
        # Odge's Mineral Works closed in 1938
        assert said("right=C&before=1938") == "one of 1924, 1936"

    def test_one_piece_disagrees_with_itself(self):
        find = Specimen.objects.get(what__startswith="Quart stout")
        assert find.made_words == "the evidence disagrees"

    def test_each_hazard_has_a_piece_to_look_at(self):
        known = knowledge_of(Specimen.objects.all()).values()
        held = {gate for each in known for gate in each.facts.flags}
        assert set(care_tables().gates) - held == set()
        against = {gate for _, gate in act_table()}
        named = {
            gate.key
            for each in known
            for gate in (*each.hazards, *(o.gate for o in each.may(Act.FREE).objections))
        }
        assert against - named == set()

    @pytest.mark.parametrize("gate", ["munition", "remains"])
    def test_what_nobody_should_lift_was_reported_and_left_without_a_picture(self, gate):
        known = knowledge_of(Specimen.objects.all()).values()
        found = [each.find for each in known if gate in each.facts.flags]
        assert found
        for find in found:
            assert find.standing == "left" and not find.shared and "told" in find.notes
            assert not find.photos.exists() and not find.treatments.exists()

    def test_each_state_of_a_permission_has_a_site(self):
        today = timezone.localdate()
        states = {outlook(site.permissions.all(), today).state for site in Site.objects.all()}
        wanted = {"valid", "expiring", "lapsed", "not-asked", "none"}
        assert wanted <= states

    def test_matching_pieces_share_a_group(self):
        groups = Counter(Specimen.objects.exclude(twin_group=None).values_list("twin_group__name", flat=True))
        assert groups == {"quill pair": 2, "wren poisons": 2}

    def test_a_shelf_nobody_wrote_down(self):
        on_it = Specimen.objects.filter(place__name="shelf nobody wrote down")
        assert on_it.count() == 12
        assert set(on_it.values_list("number_ordinal", flat=True)) == {0}

    def test_pictures_are_taken_in_with_their_roles(self):
        assert Photo.objects.count() == len(list(planned()))
        roles = set(Photo.objects.values_list("role", flat=True))
        assert {"as-found", "before", "after", "base", "during"} <= roles

    def test_every_cleaned_piece_was_pictured_before_and_after_by_one_camera(self):
        cleaned = Specimen.objects.filter(photos__role="after").distinct()
        pairs = [before_and_after(Photo.objects.of(find).in_order()) for find in cleaned]
        pairs = [pair for pair in pairs if pair]
        assert len(pairs) >= 30
        assert {pair.before.role for pair in pairs} == {"before"}
        assert all(
            (pair.before.width, pair.before.height) == (pair.after.width, pair.after.height) for pair in pairs
        )

    def test_pairs_are_laid_by_places_that_lie_on_each_other(self):
        laid = list(LaidPair.objects.select_related("before", "after"))
        assert len(laid) == 3
        for pair in laid:
            assert residual_px(pair) < 1
            moved = [
                abs(was - now) for x, y, *then in pair.marks for was, now in zip((x, y), then, strict=True)
            ]
            assert max(moved) > 1

    def test_its_bottles_are_cut_out_from_the_start(self):
        cut = Photo.objects.filter(cut_height__gt=0)
        assert cut.count() == len(list(PICTURES.glob("*.webp"))) >= 45
        photo = cut.get(find__what__startswith="Cobalt poison bottle, ribbed", role="after")
        assert files.cut(photo.sha256).read_bytes() == (PICTURES / "d03-after.webp").read_bytes()

    def test_it_never_fills_a_catalogue_that_has_finds(self):
        with pytest.raises(NotEmpty, match="finds of its own"):
            fill()


def test_no_words_for_visitors_tell_a_hidden_site(filled, db):
    shown = Specimen.objects.for_visitors()
    texts = [text for find in shown for text in (find.what, find.story)]
    texts += Photo.objects.for_visitors().values_list("caption", flat=True)
    assert len(texts) > 10
    assert sites_told(texts) == []

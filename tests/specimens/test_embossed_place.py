"""Towns as they were moulded: taken apart by the table of abbreviations, never filed where several fit."""

import pytest

from catalogue.specimens.embossed_place import PLACE_FACTS, place_key, regions_named, ways_to_read
from catalogue.specimens.gazetteer import candidates, read_town
from catalogue.specimens.models import Town
from catalogue.specimens.services.towns import keep_town, town_named

# Common practice, no source, but for the abbreviations: whose rows name theirs.
ONE_TOWN = {
    "Portland, ME, US": ["Portland, Me.", "PORTLAND ME", "PORTLAND, ME.", "portland maine", "PORTLAND M.E."],
    "St. Louis, MO, US": ["ST. LOUIS MO", "SAINT LOUIS, MO.", "ST LOUIS MISSOURI", "St. Louis, Mo., US"],
    "Halifax, NS, CA": ["Halifax N.S.", "HALIFAX N. S.", "HALIFAX, NOVA SCOTIA"],
    "Saint John, NB, CA": ["ST. JOHN N.B.", "St John, NB", "SAINT JOHN, N. B."],
    "Boston, MA, US": ["BOSTON MASS", "BOSTON, MASS.", "QUILL & CO. BOSTON MASS"],
    "Wheeling, WV, US": ["WHEELING W. VA.", "WHEELING WEST VIRGINIA", "WHEELING, W.VA."],
    "Albany, NY, US": ["ALBANY N.Y.", "ALBANY NEW YORK", "ODGE BROS ALBANY N.Y."],
    "Kansas City, MO, US": ["KANSAS CITY MO", "Kansas City, Mo."],
    "Launceston, TAS, AU": ["LAUNCESTON TAS", "Launceston, Tasmania"],
}


@pytest.mark.parametrize(
    ("words", "typed"), [(words, each) for words, spellings in ONE_TOWN.items() for each in spellings]
)
def test_one_town_is_found_however_it_was_moulded(words, typed):
    assert [row.words for row in candidates(typed)] == [words]


# What the gazetteer knows of other languages; names as Encyclopaedia Britannica gives them.
IN_OTHER_LANGUAGES = {
    "Köln": ["KÖLN", "KOLN", "KOELN"],
    "Gothenburg": ["GÖTEBORG", "GOETEBORG", "GOTEBORG"],
    "The Hague": ["'s-Gravenhage", "S GRAVENHAGE", "DEN HAAG"],
    "Vienna": ["WIEN"],
    "Munich": ["MÜNCHEN", "MUENCHEN"],
    "Copenhagen": ["KØBENHAVN", "KJØBENHAVN"],
    "New York City": ["NEW YORK", "NEW YORK, N.Y."],
    "Kingston upon Hull": ["Hull, England", "HULL YORKS."],
}
SHORT = {
    "Fort Wayne, IN, US": ["F'T WAYNE IND.", "FT. WAYNE, IND"],
    "Port Chester, NY, US": ["P'T CHESTER N.Y."],
    "Mount Vernon, OH, US": ["MT. VERNON O.", "M'T VERNON OHIO"],
    "Sault Ste. Marie, ON, CA": ["SAULT STE MARIE ONT.", "Sault Sainte Marie, Ontario"],
    "La Crosse, WI, US": ["LACROSSE WIS."],
    "New Haven, CT, US": ["NEW HAVEN CONN"],
    "Albany, NY, US": ["ALBANY N.Y. U.S.A.", "ALBANY, NEW YORK, U.S.A."],
    "Boston, MA, US": ["J. SMITH & CO. BOSTON MASS.", "THE QUILL BREWING CO BOSTON, MASS."],
    "Philadelphia, PA, US": ["PHILADELPHIA PENNSYLV"],
    "Dundalk, Leinster, IE": ["Dundalk, Co. Louth"],
    "Perth, WA, AU": ["PERTH W. AUST."],
}
ONE_LOST = ["B?STON MASS.", "BOS_ON, MASS", "?OSTON MASS", "BOSTO[NM] MASS", "BOSTON MA?S"]
ASKED = [
    "BOST[..] MASS",
    "B STON MASS",
    "BSTON MASS",
    "8OST0N MASS",
    "BOSTOM MASS",
    "BO??ON MASS",
    "OBSTON MASS",
]


@pytest.mark.parametrize(
    ("name", "typed"), [(n, typed) for n, each in IN_OTHER_LANGUAGES.items() for typed in each]
)
def test_a_town_is_found_by_its_names_in_other_languages(name, typed):
    assert candidates(typed)[0].name == name


@pytest.mark.parametrize(("words", "typed"), [(w, each) for w, all_ in SHORT.items() for each in all_])
def test_short_forms_firms_and_countries_are_taken_off(words, typed):
    one = read_town(typed).one
    assert one is not None and one.words == words


@pytest.mark.parametrize("typed", ONE_LOST)
def test_one_letter_marked_as_lost_is_filled_in_where_the_region_is_named(typed):
    one = read_town(typed).one
    assert one is not None and one.words == "Boston, MA, US"


@pytest.mark.parametrize("typed", ASKED)
def test_more_lost_letters_and_wrong_ones_are_only_offered(typed):
    reading = read_town(typed)
    assert reading.one is None
    assert "Boston, MA, US" in [row.words for row in reading.rows[:3]]


@pytest.mark.parametrize("typed", ["N. HAVEN CONN", "B?STON", "DR. QUILL BOSTON MASS", "QUEENSTOWN CO. CORK"])
def test_what_is_not_sure_is_never_filed(typed):
    assert read_town(typed).one is None and candidates(typed)


def test_new_and_north_are_both_offered():
    assert {row.name for row in candidates("N. HAVEN CONN")} == {"New Haven", "North Haven"}


def test_where_it_lay_brings_the_nearer_town_first():
    assert candidates("PORTLAND", (45.5, -122.6))[0].region == "OR"
    assert candidates("PORTLAND", (43.7, -70.2))[0].region == "ME"


@pytest.mark.parametrize("typed", ["PORTLAND", "BOSTON", "Port Washington", "HALIFAX", "Perth Australia"])
def test_where_several_fit_all_are_offered(typed):
    assert len(candidates(typed)) > 1


@pytest.mark.parametrize("typed", ["", "  ", "???", ",", "N.Y.", "x" * 300, "\u202eEM DNALTROP"])
def test_what_nobody_lists_has_no_candidate(typed):
    assert candidates(typed) == []


def test_a_name_that_ends_like_a_state_is_a_name_first():
    names = [place.name for place in ways_to_read("PORT WASHINGTON WIS.") if place.sure]
    assert names == ["PORT WASHINGTON WIS", "PORT WASHINGTON"]
    assert next(ways_to_read("New York")).regions == ()


@pytest.mark.parametrize(
    ("written", "regions"),
    [
        ("Calif.", {"California"}),
        ("CAL", {"California"}),
        ("P.E.I.", {"Prince Edward Island"}),
        ("p. e. i.", {"Prince Edward Island"}),
        ("Yorks.", {"Yorkshire"}),
        ("W.A.", {"Washington", "Western Australia"}),
        ("Velmoor", set()),
    ],
)
def test_an_abbreviation_names_every_region_that_is_written_so(written, regions):
    assert {region.name for region in regions_named(written)} == regions


def test_keys_forget_how_it_was_cut():
    assert place_key("Saint-Jérôme") == place_key("ST. JEROME") == "st jerome"
    assert place_key("O’Fallon") == place_key("OFALLON")


def test_every_row_of_the_table_says_what_it_rests_on():
    rows = list(PLACE_FACTS.rows("place_abbreviations", ("country", "region", "name", "spellings")))
    states = {row.text("region") for row in rows if row.text("country") == "US"} - {""}
    # United States Census Bureau: fifty states and the District of Columbia.
    assert len(states) == 51
    # Natural Resources Canada: ten provinces and three territories, of which Nunavut has no abbreviation.
    assert len({row.text("region") for row in rows if row.text("country") == "CA"} - {""}) == 12


@pytest.mark.django_db
class TestFiling:
    def test_five_spellings_make_one_town_with_its_position(self):
        towns = {town_named(typed) for typed in ONE_TOWN["Portland, ME, US"]}
        (town,) = towns
        assert (town.name, town.region, town.country) == ("Portland", "ME", "US")
        assert town.from_gazetteer and town.latitude == pytest.approx(43.66, abs=0.05)
        assert Town.objects.count() == 1

    def test_a_bare_name_that_several_bear_is_not_filed_under_the_one_at_hand(self):
        maine = town_named("Portland, Me.")
        bare = town_named("PORTLAND")
        assert bare != maine and not bare.region and bare.latitude is None
        assert town_named("Portland") == bare and town_named("PORTLAND, ME") == maine

    def test_a_bare_name_that_nobody_else_bears_is_the_one_at_hand(self):
        town = town_named("Marrowby, Velmoor")
        assert town.region == "Velmoor"
        assert town_named("MARROWBY") == town == town_named("marrowby, velmoor")

    def test_several_in_one_state_keep_the_state_and_get_no_position(self):
        name, state = "Salem", "AR"
        assert len(candidates(f"{name}, {state}")) == 2
        town = town_named(f"{name}, {state}")
        assert (town.name, town.region, town.country) == (name, state, "US")
        assert town.latitude is None and not town.from_gazetteer
        assert town_named(f"{name.upper()} {state}") == town

    def test_an_unlisted_name_keeps_its_region_in_its_own_spelling(self):
        town = town_named("Quarl Mills, Me.")
        assert (town.name, town.region, town.country) == ("Quarl Mills", "ME", "US")
        assert town_named("QUARL MILLS ME") == town

    def test_a_choice_from_the_suggestions_is_that_town(self):
        for row in candidates("Boston"):
            town = town_named(row.words)
            if row.region:
                assert (town.name, town.region, town.country) == (row.name, row.region, row.country)

    def test_a_town_of_three_hundred_letters_is_kept_as_far_as_it_fits(self):
        assert len(town_named("Q" * 300).name) == 200

    def test_named_anew_it_takes_the_position_of_the_town_it_is_now(self):
        town = town_named("PORTLAND")
        town.region = "Maine"
        keep_town(town, ["region"])
        town.refresh_from_db()
        assert town.from_gazetteer and town.latitude == pytest.approx(43.66, abs=0.05)
        town.name, town.region = "Quarl Harbour", "Velmoor"
        keep_town(town, ["name", "region"])
        town.refresh_from_db()
        assert (town.latitude, town.longitude, town.from_gazetteer) == (None, None, False)

    def test_a_town_of_an_older_list_is_the_same_however_its_region_is_written(self):
        # Before, regions of New Zealand were codes, and those of Australia left out.
        dunedin = Town.objects.create(
            name="Dunedin", region="F7", country="NZ", slug="dunedin", latitude=-45.8742, longitude=170.5036
        )
        perth = Town.objects.create(
            name="Perth", country="AU", slug="perth", latitude=-31.9522, longitude=115.8614
        )
        assert town_named("Dunedin, Otago, NZ") == dunedin and town_named("DUNEDIN N.Z.") == dunedin
        assert town_named("PERTH W. AUST.") == perth

    def test_a_region_typed_behind_the_name_is_taken_apart(self):
        town = town_named("Quarl Harbour, Velmoor")
        town.name, town.region = "PORTLAND ME", ""
        keep_town(town, ["name", "region"])
        town.refresh_from_db()
        assert (town.name, town.region, town.country) == ("Portland", "ME", "US") and town.from_gazetteer
        assert town_named("Portland, Maine") == town

    def test_but_not_where_that_town_is_there_already(self):
        maine, town = town_named("Portland, Me."), town_named("Quarl Harbour, Velmoor")
        town.name, town.region = "PORTLAND ME", ""
        keep_town(town, ["name", "region"])
        town.refresh_from_db()
        assert town.name == "PORTLAND ME" and town != maine

    def test_a_typed_position_is_no_list_s(self):
        town = town_named("Portland, Me.")
        town.latitude = 44.0
        keep_town(town, ["latitude"])
        town.name = "Portland Harbour"
        keep_town(town, ["name"])
        town.refresh_from_db()
        assert town.latitude == 44.0 and not town.from_gazetteer

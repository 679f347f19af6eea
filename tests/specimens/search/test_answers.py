"""The one search: what it forgives, in which order it answers, and what a visitor may learn from it."""

import pytest

from catalogue.sites.models import Site
from catalogue.specimens.models import Inscription, KnownYears, SearchEntry, Specimen, ToldSite
from catalogue.specimens.models.specimen import made_between_rows
from catalogue.specimens.search import answers, matched, understanding
from catalogue.specimens.search.answers import search
from catalogue.specimens.services import Parts
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture(params=["index", "fall-back"])
def either(request, monkeypatch):
    """With the database's own index where there is one, and without any."""
    if request.param == "fall-back":
        monkeypatch.setattr(understanding, "has_fts", lambda: False)


def names(words: str, kind: str = "finds", **more) -> list[str]:
    answer = search(words, **more)
    rows = [row for found in answer.found if found.kind.key == kind for row in found.rows]
    return [row.what if isinstance(row, Specimen) else str(row) for row in rows]


@pytest.mark.parametrize(
    "typed",
    [
        "marrowby",
        "MARROWBY",
        "Márrowby",
        "marroby",
        "marrowbi",
        "amrrowby",
        "marrow",
        "sodas",
        "Soda bottle",
        "quill & sons",
        "quill and sons",
        "Quill sons",
        "ginger-beer",
        "ginger beer",
        "gingerbeer",
        "2024 0 1",
        "1884",
        "1880s",
        "1870-1890",
        "quil marowby",
    ],
)
def test_what_is_forgiven(either, typed):
    factories.find(
        "Ginger-beer or soda bottle",
        Parts(
            inscriptions=[Inscription(text="QUILL & / SONS")],
            known=[KnownYears(what="directory", from_year=1884, to_year=1886)],
        ),
        town=factories.town("Marrowby"),
    )
    factories.find("Inkwell")
    number = Specimen.objects.get(what__startswith="Ginger").number
    typed = number.replace(".", " ") if typed == "2024 0 1" else typed
    assert names(typed) == ["Ginger-beer or soda bottle"], typed


def test_a_year_in_which_it_was_not_made_does_not_find_it(either):
    factories.find("Soda", Parts(known=[KnownYears(what="directory", from_year=1884, to_year=1886)]))
    assert names("1920s") == [] and names("1887") == [] and names("soda 1885") == ["Soda"]


def test_an_exact_word_is_never_replaced(either):
    factories.find("Bolter")
    factories.find("Bolder")
    assert names("bolter") == ["Bolter"] and search("bolter").understood.replaced == ()


def test_a_replaced_word_is_said_with_others_that_may_be_meant(either):
    factories.find("Hamper bottle")
    factories.find("Damper bottle")
    understood = search("zamper").understood
    assert [(each.typed, each.word) for each in understood.replaced] == [("zamper", "damper")]
    assert "hamper" in understood.replaced[0].others
    assert "“zamper”" in understood.sentences[0] and "“damper”" in understood.sentences[0]


def test_a_number_is_its_piece(either):
    find = factories.find("Soda")
    for typed in (find.number, find.number.replace(".", "-"), f"http://localhost/f/{find.number}"):
        assert search(typed).number == find
    assert search(f"{find.number}9").number is None
    find.put_in_bin()
    assert search(find.number).number is None


def test_names_come_before_notes_and_words_before_parts_of_words(either):
    factories.find("Plain", notes="an amber shard beside it")
    factories.find("Camber flask")
    factories.find("Amber flask")
    assert names("amber") == ["Amber flask", "Camber flask", "Plain"]


def test_ones_own_makers_and_those_of_pieces_come_before_the_published(either):
    own = factories.brackwater()
    own.name = "American Krapplack Works"
    own.save()
    found = names("american", "makers")
    assert found[0] == own.name and len(found) > 1


def test_the_published_tables_answer_too(either):
    rows = search("kick-up").published
    assert rows and all(row.get_absolute_url().startswith("/reference/") for row in rows)
    assert search("ponitl").understood.replaced[0].word == "pontil"


def test_no_more_queries_for_many(either, django_assert_max_num_queries):
    for n in range(12):
        factories.find(f"Marrowby soda {n}", town=factories.town(f"Marrowby {n}"))
        factories.dive(factories.site(f"Marrowby ledge {n}"))
    with django_assert_max_num_queries(24):
        search("marrowby")


@pytest.mark.parametrize("visitor", [False, True])
def test_many_finds_are_counted_up_to_a_bound_and_the_last_recorded_shown(either, monkeypatch, visitor):
    for module in (matched, answers, understanding):
        monkeypatch.setattr(module, "RANKED_ROWS", 3)
    for module in (matched, answers):
        monkeypatch.setattr(module, "MOST_COUNTED", 6)
    for n in range(6):
        factories.find(f"Soda {n}", shared=True)
    found = search("soda", most=2, visitor=visitor).found[0]
    assert (found.total, found.counted) == ((3, False) if visitor else (6, True))
    assert [row.what for row in found.rows] == ["Soda 5", "Soda 4"]
    for n in (6, 7):
        factories.find(f"Soda {n}", shared=True)
    found = search("soda", most=2, visitor=visitor).found[0]
    assert (found.total, found.counted) == (3 if visitor else 6, False)
    assert [row.what for row in found.rows] == ["Soda 7", "Soda 6"]


def test_very_many_of_one_kind_hide_no_other_kind(either, monkeypatch):
    for module in (matched, answers, understanding):
        monkeypatch.setattr(module, "RANKED_ROWS", 4)
    site = factories.site("Marrowby Ledge")
    for n in range(6):
        factories.dive(site)
        factories.find(f"Marrowby {n}")
    factories.town("Marrowby")
    factories.place("Marrowby case")
    factories.person("Marrowby Jane")
    totals = {found.kind.key: found.total for found in search("marrowby").found}
    assert totals == {"finds": 6, "towns": 1, "sites": 1, "dives": 6, "shelves": 1, "people": 1}


def test_only_what_can_be_found_is_asked_for(either, django_assert_max_num_queries):
    factories.find("Marrowby soda")
    search("kick-up")  # reads the published tables
    for typed, queries in (("zanzibarine", 3), ("marrowby soda", 7), ("soda", 7)):
        with django_assert_max_num_queries(queries):
            search(typed)


class TestVisitors:
    """Told by nothing: no row, no count, no correction and no missing correction."""

    @pytest.fixture(params=["few", "many"])
    def pieces(self, db, request, monkeypatch):
        """Among few pieces shown each is read, among many the index is asked: the answers are the same."""
        if request.param == "many":
            monkeypatch.setattr(understanding, "FEW_SEEN", 0)
        hidden = factories.site("Zinnober Ledge")
        seen = factories.find(
            "Marrowby soda",
            dive=factories.dive(hidden),
            town=factories.town("Marrowby"),
            notes="krapplack in the notes",
            found_with="a clay pipe",
            place=factories.place("Velvet case"),
            field_tag="K17",
            story="Rolled in the tide",
        )
        private = factories.find("Ochre flask", town=factories.town("Ochreton"))
        factories.person("Ansel Quick")
        Specimen.objects.filter(pk=seen.pk).update(shared=True)
        return seen, private

    @pytest.mark.parametrize("typed", ["marrowby", "soda", "marowby", "tide", "rolled marrowby"])
    def test_what_a_visitor_reads_is_found(self, either, pieces, typed):
        assert names(typed, visitor=True) == ["Marrowby soda"]

    @pytest.mark.parametrize(
        "typed",
        [
            "zinnober",
            "zinnobr",
            "krapplack",
            "krapplak",
            "velvet",
            "velvt",
            "ansel",
            "ochre",
            "ochreton",
            "ohcreton",
            "clay",
            "k17",
            "heron",
            "soda zinnober",
            "kick-up",
            "dive",
            "case",
        ],
    )
    def test_what_a_visitor_does_not_read_answers_like_a_word_that_is_nowhere(self, either, pieces, typed):
        answer = search(typed, visitor=True)
        assert (answer.found, answer.number, answer.published, answer.names) == ((), None, (), ())
        assert answer.understood.replaced == ()

    def test_a_private_piece_is_not_told_by_its_number(self, either, pieces):
        seen, private = pieces
        assert search(seen.number, visitor=True).number == seen
        assert search(private.number, visitor=True).number is None
        assert search(private.number, visitor=True).found == ()

    def test_names_lead_on(self, either, pieces):
        assert search("marrow", visitor=True).names == ("Marrowby",)

    def test_a_piece_held_back_is_not_found(self, either, pieces):
        Specimen.objects.filter(what="Marrowby soda").update(care_flags="|munition|")
        assert names("marrowby", visitor=True) == []

    def test_in_a_filled_index_hits_counts_and_likely_words_are_of_what_is_seen(self, either, pieces):
        """Beside each piece shown one of the same words that is not: in the bin, held back, not shared."""
        town, secret = factories.town("Krapplack"), factories.site("Wexford Ledge")
        for n in range(8):
            kept = factories.find(
                f"Velmoor soda {n}",
                town=town,
                dive=factories.dive(secret),
                notes="quarlish",
                shared=n < 6,
                made_words="",
            )
            if n in (0, 1):
                kept.put_in_bin()
            if n == 2:
                Specimen.objects.filter(pk=kept.pk).update(care_flags="|munition|")
        binned = factories.find("Ormerling flask", shared=True)
        binned.put_in_bin()
        factories.find("Quillmark flask", shared=True)
        Specimen.objects.filter(what="Quillmark flask").update(care_flags="|munition|")
        for typed in ("velmoor", "velmor", "krapplack", "velmoor krapplack", "krapplak velmoor"):
            found = search(typed, visitor=True).found
            assert [(group.kind.key, group.total) for group in found] == [("finds", 3)], typed
            assert {row.what for row in found[0].rows} == {f"Velmoor soda {n}" for n in (3, 4, 5)}
            assert search(typed).found[0].total >= 6, typed
        for typed in (
            "quarlish",
            "quarlsh",
            "wexford",
            "wexfrod",
            "ormerling",
            "ormerlin",
            "quillmark",
            "quilmark",
        ):
            answer = search(typed, visitor=True)
            assert not answer.anything and answer.names == () and answer.understood.replaced == (), typed
            assert answer.nowhere == (typed,)
        likely = search("velmoar", visitor=True).understood.replaced[0]
        assert (likely.word, likely.others) == ("velmoor", ())

    def test_public_text_is_part_of_the_whole(self, pieces):
        for entry in SearchEntry.objects.all():
            assert set(entry.public.split()) <= set(entry.text.split())

    @pytest.mark.parametrize("told_again", [False, True])
    def test_pieces_that_tell_a_hidden_site_are_passed_over_round_by_round(
        self, either, pieces, monkeypatch, told_again
    ):
        monkeypatch.setattr(understanding, "RANKED_ROWS", 2)
        open_ones = [factories.find(f"Pebble jar {n}") for n in range(2)]
        telling = [factories.find(f"Pebble jar of Zinnober Ledge {n}") for n in range(7)]
        last = factories.find("Pebble jar, the last")
        every = [find.pk for find in (*open_ones, *telling, last)]
        Specimen.objects.filter(pk__in=every).update(shared=True)
        site = Site.objects.get(name="Zinnober Ledge")
        if told_again:
            # its owner said that this one may tell it
            ToldSite.objects.create(find=telling[3], site=site)
        expected = [last.pk, *([telling[3].pk] if told_again else []), *(f.pk for f in reversed(open_ones))]
        asked = understanding.understand("pebble", visitor=True)
        assert asked.held.seen(asked.units) == expected[:3]
        assert names("zinnober", visitor=True) == ([telling[3].what] if told_again else [])


def test_a_piece_not_yet_dated_answers_no_year(either):
    undated = factories.find("Plain bottle", colour="aqua")
    assert undated.made_words == "not yet dated"
    assert Specimen.objects.filter(made_between_rows(1885, 1885)).exists(), "its likely years are known"
    assert names("1885") == [] and names("1880s") == []
    factories.find("Dated bottle", Parts(known=[KnownYears(what="directory", from_year=1884, to_year=1886)]))
    assert names("1885") == ["Dated bottle"]

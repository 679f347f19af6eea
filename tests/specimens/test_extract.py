"""The extract of GeoNames: how large, what of, told where from; the same rows give the same bytes."""

from catalogue.specimens.gazetteer import LISTED_WHOLE
from catalogue.specimens.town_files.making import RegionRow, TownRow, write_town_file
from catalogue.specimens.town_files.store import EXTRACT, about, open_file
from tests.gazetteer.extract import LARGEST_BYTES, WHOLE

ROWS = [
    TownRow("Marrowby", "US", "ME", "Quarl County", 44.1, -69.2, 1200, ("Merrowby",)),
    TownRow("Quärl", "DE", "07", "", 50.9, 6.9, 90_000),
]


def test_it_is_small_and_says_what_it_is():
    assert EXTRACT.stat().st_size <= LARGEST_BYTES
    told = about(EXTRACT)
    assert "GeoNames" in told["source"] and "CC BY 4.0" in told["source"] and "extract" in told["source"]
    assert int(told["towns"]) > 70_000


def test_what_is_listed_whole_is_what_the_maker_takes_whole():
    assert LISTED_WHOLE <= WHOLE


def test_every_region_of_the_earth_and_of_every_continent_asked_for_is_there():
    with open_file(EXTRACT) as file:
        have = dict(
            file.execute(
                "SELECT r.country, count(*) FROM towns t JOIN regions r ON r.id=t.region GROUP BY r.country"
            )
        )
    file.close()
    # Statistical offices count more towns than these in each: a floor, no figure of theirs.
    for country, least in {
        "US": 20_000,
        "GB": 5_000,
        "DE": 3_000,
        "FR": 2_500,
        "JP": 1_000,
        "BR": 2_000,
    }.items():
        assert have[country] >= least
    assert {"MX", "AR", "CL", "ZA", "SE", "NO", "DK", "NL", "PT", "PL", "CZ", "CU", "AU", "NZ"} <= have.keys()


def test_the_same_rows_give_the_same_file(tmp_path):
    regions = {("US", "ME"): RegionRow("ME", "Maine")}
    files = [tmp_path / "one", tmp_path / "two"]
    for path in files:
        assert write_town_file(path, iter(ROWS), regions, {"source": "invented"}) == 2
    assert files[0].read_bytes() == files[1].read_bytes()
    write_town_file(tmp_path / "other", iter(ROWS[:1]), regions, {"source": "invented"})
    assert about(files[0])["version"] != about(tmp_path / "other")["version"]


def test_umlauts_are_found_written_either_way(tmp_path):
    write_town_file(tmp_path / "one", iter(ROWS), {}, {})
    with open_file(tmp_path / "one") as file:
        keys = {key for (key,) in file.execute("SELECT key FROM names")}
    file.close()
    assert keys == {"marrowby", "merrowby", "quarl", "quaerl"}

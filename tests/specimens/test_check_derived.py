"""A derived column broken behind its back is found, named and mended."""

import pytest
from django.core.management import call_command
from django.db import connection

from catalogue.specimens.models import (
    Maker,
    NumberSeries,
)
from tests import factories

from .derived_parts import agree, bw_read

pytestmark = pytest.mark.django_db


@pytest.fixture
def bw():
    return bw_read()


class TestCheck:
    BROKEN = {
        "made_words": "about 1700",
        "made_from": 1700,
        "made_spread": "1700-1701",
        "maker_probability": 0.75,
        "number_piece": 77,
        "made_with": "an older edition",
    }

    @pytest.mark.parametrize("column", BROKEN)
    def test_a_column_broken_behind_its_back_is_found_and_mended(self, bw, column, capsys):
        find = factories.find("bottle", bw)
        factories.find("another")
        with connection.cursor() as cursor:
            cursor.execute(
                f"UPDATE specimens_specimen SET {column} = %s WHERE id = %s", [self.BROKEN[column], find.pk]
            )
        with pytest.raises(SystemExit) as end:
            call_command("check_derived", all=True)
        assert end.value.code == 1
        said = capsys.readouterr().out
        assert f"{find.number} {column}: stored {self.BROKEN[column]!r}, expected " in said
        # a piece of a later number also says that its series is behind
        assert said.count("expected ") == (2 if column == "number_piece" else 1)
        call_command("check_derived", all=True, mend=True)
        assert agree() and NumberSeries.objects.get().last == 2
        call_command("check_derived", sample=1)
        assert "Everything agrees (1 find looked at)." in capsys.readouterr().out

    def test_what_is_wrong_elsewhere(self, db, capsys):
        hall = factories.place("Hall case")
        shelf = factories.place("third shelf", parent=hall)
        factories.find("bottle", dive=factories.dive(), place=shelf)
        with connection.cursor() as cursor:
            cursor.execute("UPDATE shelves_place SET path = 'nowhere' WHERE id = %s", [hall.pk])
            cursor.execute("UPDATE specimens_numberseries SET last = 0")
            cursor.execute("UPDATE sites_diveseries SET last = 0")
            cursor.execute("DELETE FROM specimens_maker WHERE name = %s", [Maker.objects.first().name])
        with pytest.raises(SystemExit):
            call_command("check_derived", sample=0)
        said = capsys.readouterr().out
        for words in ("place Hall case path", "numbers 2024.1 last", "dives of 2024 last", "maker "):
            assert words in said
        call_command("check_derived", all=True, mend=True)
        shelf.refresh_from_db()
        assert shelf.path == "Hall case, third shelf" and agree()

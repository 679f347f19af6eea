"""`manage.py add_towns FILE`: a country's file of GeoNames among the lists that towns are looked up in."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from catalogue.specimens.town_files.added import add_country, added_countries, put_back, take_away
from catalogue.specimens.town_files.country_file import CountryFileError


class Command(BaseCommand):
    help = "Add a country's file of GeoNames (XX.txt, or the zip that holds it), or list what was added."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", nargs="?", type=Path, help="XX.txt or XX.zip, as it was downloaded")
        parser.add_argument("--delete", metavar="XX", help="look a country up no more")
        parser.add_argument("--restore", metavar="XX", help="look up again what was deleted or replaced last")

    def handle(self, *args: Any, **options: Any) -> None:
        for asked, act in ((options["delete"], take_away), (options["restore"], put_back)):
            if asked and not act(asked):
                raise CommandError(f"There is no such list: {asked}.")
        if options["file"]:
            try:
                with options["file"].open("rb") as file:
                    added = add_country(file, options["file"].name)
            except OSError as error:
                raise CommandError(f"{options['file']} can't be opened: {error.strerror}.") from error
            except CountryFileError as why:
                raise CommandError(f"{why}. Nothing was added.") from why
            self.stdout.write(f"{added.country} is added.")
        for each in added_countries():
            state = "" if each.in_use else ", not looked up"
            self.stdout.write(f"{each.country}: places: {each.towns}, {each.called}{state}")

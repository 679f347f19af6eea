"""``python -m tests.specimens.search.searched_on``: a few finds, recorded and searched for on DATABASE_URL.

Prints what was found of each question, and whether the database has trigrams.
"""

import json
import os

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")

NAMES = (
    "Aqua soda bottle",
    "Amber beer bottle, T&H 29",
    "Wave-Cola",
    "Ångström & Co",
    "Ink, the thin bottle",
)
SEARCHES = (
    "bottle",
    "ottle",
    "t & h",
    "wavecola",
    "wave-cola",
    "angstrom",
    "b",
    "bottle i",
    "marrowby",
    "29",
)


def main() -> None:
    """Migrate, record, search."""
    import django

    django.setup()
    from django.core.management import call_command
    from django.db import connection

    from catalogue.specimens.search.index import TRIGRAMS
    from tests import factories
    from tests.specimens.derived_parts import agree, found

    call_command("migrate", verbosity=0)
    town = factories.town("Marrowby")
    for name in NAMES:
        factories.find(name, town=town if "bottle" in name else None)
    with connection.cursor() as cursor:
        cursor.execute("SELECT count(*) FROM pg_extension WHERE extname = 'pg_trgm'")
        (extension,) = cursor.fetchone()
        cursor.execute("SELECT count(*) FROM pg_indexes WHERE indexname = %s", [TRIGRAMS])
        (index,) = cursor.fetchone()
    answers = {text: sorted(found(text)) for text in SEARCHES}
    print(json.dumps({"trigrams": bool(extension and index), "agrees": agree(), "found": answers}))


if __name__ == "__main__":
    main()

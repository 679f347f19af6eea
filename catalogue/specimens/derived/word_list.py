"""The writer of the search's word list: in how many entries each word stands."""

import re
from collections import Counter
from collections.abc import Iterator

from django.db import connections, router

from catalogue.specimens.models import SearchEntry, SearchWord

# Words that are looked through for likely ones: letters, of a length that somebody types.
_LISTED = re.compile(r"[^\W\d_]{3,40}")


def listed_words(text: str) -> set[str]:
    """The words of a folded text that the word list counts."""
    return {word for word in text.split() if _LISTED.fullmatch(word)}


def count_words(more: Counter[str]) -> None:
    """Add to (or take from) the word list, in one order, so that two writers never wait for each other."""
    rows = [(word, count) for word, count in sorted(more.items()) if count]
    if not rows:
        return
    store = connections[router.db_for_write(SearchWord)]
    table = SearchWord._meta.db_table
    with store.cursor() as cursor:
        added = [row for row in rows if row[1] > 0]
        if added:
            cursor.executemany(
                f"INSERT INTO {table} (word, entries) VALUES (%s, %s) "
                f"ON CONFLICT (word) DO UPDATE SET entries = {table}.entries + excluded.entries",
                added,
            )
        taken = [(-count, word, -count) for word, count in rows if count < 0]
        if taken:
            cursor.executemany(
                f"UPDATE {table} SET entries = entries - %s WHERE word = %s AND entries >= %s", taken
            )
            SearchWord.objects.filter(word__in=[word for _, word, _ in taken], entries=0).delete()


def differing_words() -> Iterator[tuple[str, int, int]]:
    """Word, in how many entries the list says it stands, and in how many it does, where the two differ."""
    there = _counted_anew()
    listed = dict(SearchWord.objects.values_list("word", "entries"))
    for word in sorted(there.keys() | listed.keys()):
        if listed.get(word, 0) != there[word]:
            yield word, listed.get(word, 0), there[word]


def mend_words() -> None:
    """Write the list as the entries have it."""
    wrong = {word: there - listed for word, listed, there in differing_words()}
    count_words(Counter(wrong))


def _counted_anew() -> Counter[str]:
    counts: Counter[str] = Counter()
    for text in SearchEntry.objects.values_list("text", flat=True).iterator():
        counts.update(listed_words(text))
    return counts

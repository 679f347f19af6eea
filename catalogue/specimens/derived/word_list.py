"""The writer of the search's word list: in how many entries each word stands, and under which keys one with
wrong letters finds it."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Any

from django.db import connections, router, transaction

from catalogue.specimens.models import SearchEntry, SearchWord, WordDeletion
from catalogue.specimens.search.spelling import NUMBERS, listed_keys

from .batches import batches_of

# Words that are looked through for likely ones: letters, of a length that somebody types.
_LISTED = re.compile(r"[^\W\d_]{3,40}")
_WORDS, _DELETIONS = SearchWord._meta.db_table, WordDeletion._meta.db_table


def listed_words(text: str) -> set[str]:
    """The words of a folded text that the word list counts."""
    return {word for word in text.split() if _LISTED.fullmatch(word)}


def count_words(more: Counter[str]) -> None:
    """Add to (or take from) the word list, in one order, so that two writers never wait for each other."""
    rows = [(word, count) for word, count in sorted(more.items()) if count]
    if not rows:
        return
    store = router.db_for_write(SearchWord)
    with transaction.atomic(using=store), connections[store].cursor() as cursor:
        _add(cursor, [row for row in rows if row[1] > 0])
        _take(cursor, [(word, -count) for word, count in rows if count < 0])


def _add(cursor: Any, added: list[tuple[str, int]]) -> None:
    if not added:
        return
    there = {word for word, _ in _numbered(word for word, _ in added)}
    cursor.executemany(
        f"INSERT INTO {_WORDS} (word, entries) VALUES (%s, %s) "
        f"ON CONFLICT (word) DO UPDATE SET entries = {_WORDS}.entries + excluded.entries",
        added,
    )
    _list_keys(cursor, _numbered(word for word, _ in added if word not in there))


def _take(cursor: Any, taken: list[tuple[str, int]]) -> None:
    if not taken:
        return
    cursor.executemany(
        f"UPDATE {_WORDS} SET entries = entries - %s WHERE word = %s AND entries >= %s",
        [(count, word, count) for word, count in taken],
    )
    for part in batches_of([word for word, _ in taken]):
        # locked: another writer may count one of them again meanwhile
        gone = SearchWord.objects.select_for_update().filter(word__in=part, entries=0)
        numbered = list(gone.values_list("word", "pk"))
        keys = sorted(key for word, number in numbered for key in listed_keys(word, number))
        # past Django, which would read every row first and tell the signals of it
        cursor.executemany(f"DELETE FROM {_WORDS} WHERE id = %s", [(number,) for _, number in numbered])
        cursor.executemany(f"DELETE FROM {_DELETIONS} WHERE id = %s", [(key,) for key in keys])


def _numbered(words: Iterable[str]) -> list[tuple[str, int]]:
    """Those of the words that are listed, each with its key. One query for five hundred."""
    return [
        row
        for part in batches_of(list(words))
        for row in SearchWord.objects.filter(word__in=part).values_list("word", "pk")
    ]


def _list_keys(cursor: Any, words: list[tuple[str, int]]) -> None:
    keys = sorted(key for word, number in words for key in listed_keys(word, number))
    if keys:
        cursor.executemany(
            f"INSERT INTO {_DELETIONS} (id) VALUES (%s) ON CONFLICT DO NOTHING", [(key,) for key in keys]
        )


def differing_words() -> Iterator[tuple[str, int, int]]:
    """Word, in how many entries the list says it stands, and in how many it does, where the two differ."""
    there = _counted_anew()
    listed = dict(SearchWord.objects.values_list("word", "entries"))
    for word in sorted(there.keys() | listed.keys()):
        if listed.get(word, 0) != there[word]:
            yield word, listed.get(word, 0), there[word]


def words_under_wrong_keys() -> Iterator[str]:
    """Words that are not listed under all their keys; a key that is no word's is named by its number."""
    stored: dict[int, set[int]] = {}
    for key in WordDeletion.objects.values_list("pk", flat=True).iterator():
        stored.setdefault(key % NUMBERS, set()).add(key)
    for word, number in SearchWord.objects.order_by("word").values_list("word", "pk").iterator():
        if stored.pop(number, set()) != set(listed_keys(word, number)):
            yield word
    yield from (f"number {number}" for number in sorted(stored))


@transaction.atomic
def mend_words() -> None:
    """Write the list as the entries have it."""
    wrong = {word: there - listed for word, listed, there in differing_words()}
    count_words(Counter(wrong))
    if any(words_under_wrong_keys()):
        WordDeletion.objects.all().delete()
        with connections[router.db_for_write(WordDeletion)].cursor() as cursor:
            _list_keys(cursor, list(SearchWord.objects.values_list("word", "pk")))


def _counted_anew() -> Counter[str]:
    counts: Counter[str] = Counter()
    for text in SearchEntry.objects.values_list("text", flat=True).iterator():
        counts.update(listed_words(text))
    return counts

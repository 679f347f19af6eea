"""Search over everything on record, behind one function: `answers.search`, and `understanding.understand`
for lists that are narrowed by words, so that the box and a list never disagree.

`folding` says which letters count as one, `units` reads what was typed, `kinds` says what is searched of each
kind of record (the writer of the index, `specimens/derived/entries.py`, reads the same), `index` asks the
database's own index, `spelling` and `understanding` forgive wrong letters, `published` holds the reference
tables in memory.
"""

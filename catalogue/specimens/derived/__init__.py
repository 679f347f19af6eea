"""Derived columns: what is worked out from other rows and stored, who writes it, and how it keeps up.

`rules` says what depends on what, `refresh` follows each write within its own transaction (cache
invalidation), told by `listening`; `writer` is the only one that writes, `check` recomputes and compares.
Whatever is stale is dated anew by `redating`, which asks `answers` (memoised, many at a time, with a
`process_pool` for large catalogues).

Nothing is imported here: a process of the pool loads `process_pool` without the database.
"""

"""A migration that is on main never changes again."""

import pytest

from tests.house.migrations import HOW_TO_ADD, NEVER_CHANGED, complaints, listed, on_disk, on_main


def test_no_migration_was_changed_and_each_is_listed():
    there = on_disk()
    assert len(there) > 20
    assert not complaints(there, listed()), "\n".join(complaints(there, listed()))


def test_none_is_another_than_it_is_on_main():
    """The list could be changed together with the migration; main remembers both."""
    if (main := on_main()) is None:
        pytest.skip("there is no git here, or no branch called main")
    there = on_disk()
    wrong = [f"{path} {NEVER_CHANGED}" for path in main if there.get(path) != main[path]]
    assert not wrong, "\n".join(wrong)


def test_a_changed_one_a_removed_one_and_a_new_one_are_told_apart():
    noted = {"a/0001.py": "11", "a/0002.py": "22", "b/0001.py": "33"}
    there = {"a/0001.py": "11", "a/0002.py": "2x", "b/0002.py": "44"}
    assert complaints(there, noted) == [
        f"b/0001.py {NEVER_CHANGED}",
        f"a/0002.py {NEVER_CHANGED}",
        f"b/0002.py is not listed; {HOW_TO_ADD}",
    ]


def test_the_list_is_read_line_by_line():
    assert listed("11  a/0001.py\n\n22  a/0002.py\n") == {"a/0001.py": "11", "a/0002.py": "22"}

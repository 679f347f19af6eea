"""The lip is asked twice: how it was made, and its shape; an answer to one says nothing of the other."""

from dating import Reference
from dating.looknext import same_question
from dating.tables import HOW_FINISHED, LIP, lip_parts


def test_each_way_of_making_is_a_row_of_the_lip(ref: Reference) -> None:
    rows = {row.id for row in ref.groups[LIP]}
    assert rows > HOW_FINISHED


def test_every_lip_is_in_one_of_the_two(ref: Reference) -> None:
    made, shapes = ({row.id for row in part} for part in lip_parts(ref.groups[LIP]))
    # From memory: tooled and applied lips are ways of making; a crown and a blob are shapes.
    assert {"applied-finish", "tooled-finish"} <= made and {"crown-finish", "blob-finish-soda"} <= shapes
    assert not made & shapes and made | shapes == {row.id for row in ref.groups[LIP]}


def test_an_answer_excludes_those_of_its_own_question_alone(ref: Reference) -> None:
    assert same_question("applied-finish", ref) == HOW_FINISHED
    crown = same_question("crown-finish", ref)
    assert "blob-finish-soda" in crown and not crown & HOW_FINISHED
    assert HOW_FINISHED | crown == {row.id for row in ref.groups[LIP]}


def test_what_may_stand_beside_others_excludes_nothing(ref: Reference) -> None:
    assert same_question("acl", ref) == {"acl"}

"""Helpers in other processes, reading ahead: the answers stay the same, and nothing stale is written."""

import pytest

from catalogue.specimens.derived import answers as answering
from catalogue.specimens.derived import process_pool
from catalogue.specimens.derived.listening import NO_MAKER
from catalogue.specimens.derived.redating import redate_all
from catalogue.specimens.derived.writer import STORED
from catalogue.specimens.models import KnownYears, MarkReading, ObservedFeature, Specimen
from catalogue.specimens.services import Parts
from tests import factories


@pytest.fixture
def finds():
    """Enough sorts of evidence, some of it twice, and an own mark that only the joined tables have."""
    factories.brackwater()
    made = [factories.find(f"bottle {n}", colour=colour) for n, colour in enumerate(("aqua", "amber", ""))]
    for right in ("6", "6", "", "7"):
        reading = MarkReading(letters="BW", symbol="wave", right=right)
        made.append(factories.find(parts=Parts(readings=[reading])))
    made.append(factories.find(parts=Parts(features=[ObservedFeature(feature="crown-finish")])))
    made.append(factories.find(parts=Parts(known=[KnownYears(what="a", from_year=1884, to_year=1890)])))
    return made


def stored() -> list[dict]:
    return list(Specimen.everything.order_by("pk").values("pk", *STORED))


def spoil() -> list[dict]:
    """What is stored now; then none of it is."""
    before = stored()
    Specimen.everything.update(
        made_words="stale", made_from=None, made_ruler={}, made_with="", made_spread="", **NO_MAKER
    )
    return before


@pytest.fixture
def few(monkeypatch):
    """Two helpers however few the finds."""
    monkeypatch.setattr(answering, "pool_size", lambda finds: 2)


@pytest.mark.django_db
def test_helpers_give_the_same_answers(finds, few, monkeypatch):
    def never(*_):
        raise AssertionError("asked in this process")

    monkeypatch.setattr(answering, "answer_to", never)
    before = spoil()
    assert [p.done for p in redate_all(Specimen.everything.all(), batch=4)] == [4, 8, 9]
    assert stored() == before


@pytest.mark.django_db
def test_where_no_helper_can_start_the_answers_are_the_same(finds, few, monkeypatch, caplog):
    def unable(*_):
        raise OSError("no more processes")

    monkeypatch.setattr(answering, "ProcessPool", unable)
    before = spoil()
    list(redate_all(Specimen.everything.all(), batch=4))
    assert stored() == before
    assert "no more processes" in caplog.text


@pytest.mark.django_db
def test_helpers_that_break_off_are_done_without(finds, few, monkeypatch, caplog):
    # a helper that finds other tables than were read here gives up
    real = answering.ProcessPool
    monkeypatch.setattr(answering, "ProcessPool", lambda m, c, version, n: real(m, c, "another edition", n))
    before = spoil()
    list(redate_all(Specimen.everything.all(), batch=4))
    assert stored() == before
    assert "dating in one process" in caplog.text


@pytest.mark.django_db
def test_equal_evidence_is_asked_about_once(finds, monkeypatch):
    questions = []
    real = answering.answer_to
    monkeypatch.setattr(answering, "answer_to", lambda q, ref: questions.append(q) or real(q, ref))
    spoil()
    list(redate_all(Specimen.everything.all()))
    # nine finds, two with the same mark and the same figure
    assert len(questions) == len(set(questions)) == 8


class AtOnce:
    """Stands in for helpers, in this process: answers when asked."""

    def __init__(self, *_args) -> None:
        self.asked = 0

    def ask(self, questions):
        from concurrent.futures import Future

        from catalogue.specimens.tables import current_reference

        self.asked += len(questions)
        future: Future = Future()
        future.set_result([process_pool.answer_to(q, current_reference()) for q in questions])
        return {question: (future, n) for n, question in enumerate(questions)}

    def close(self) -> None:
        pass


@pytest.mark.django_db
def test_what_changes_after_it_was_read_ahead_is_read_again(finds, few, monkeypatch):
    monkeypatch.setattr(answering, "ProcessPool", AtOnce)
    spoil()
    steps = redate_all(Specimen.everything.all(), batch=4)
    next(steps)
    # the second batch has been asked about; now one of its finds gets another feature
    last = finds[7]
    last.known_years.create(what="directory", from_year=1905, to_year=1907)
    list(steps)
    assert Specimen.objects.get(pk=last.pk).made_words == "about 1905 to 1907"


@pytest.mark.django_db(transaction=True)
def test_what_another_connection_writes_is_seen_too(finds, few, monkeypatch):
    from threading import Thread

    from django.db import connection

    monkeypatch.setattr(answering, "ProcessPool", AtOnce)
    spoil()

    def elsewhere() -> None:
        finds[7].known_years.create(what="directory", from_year=1905, to_year=1907)
        connection.close()

    steps = redate_all(Specimen.everything.all(), batch=4)
    next(steps)
    other = Thread(target=elsewhere)
    other.start()
    other.join()
    list(steps)
    assert Specimen.objects.get(pk=finds[7].pk).made_words == "about 1905 to 1907"


def test_few_finds_or_one_processor_get_no_helpers(monkeypatch):
    monkeypatch.setattr(process_pool.os, "cpu_count", lambda: 4)
    assert process_pool.pool_size(process_pool.FEWEST) == 4
    assert process_pool.pool_size(process_pool.FEWEST - 1) == 0
    monkeypatch.setattr(process_pool.os, "cpu_count", lambda: 1)
    assert process_pool.pool_size(100_000) == 0

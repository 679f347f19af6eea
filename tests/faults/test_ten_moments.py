"""Ten moments of `python -m tests.faults`: the server killed while it is written to."""

from tests.attacks._report import Report
from tests.faults import killed


def test_nothing_that_was_promised_is_lost_when_the_server_is_killed(tmp_path):
    report = Report("killed")
    killed.fault(tmp_path, report, moments=10)
    assert not report.bad, report.bad

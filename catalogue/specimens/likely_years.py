"""The likely years of an answer in words, where they say more than its window does. Pure."""

import dating

MOST_LIKELY_YEARS = 200  # a wider range tells nobody anything
MOST_RUNS = 4


def likely_years_words(finding: dating.Finding) -> str:
    """The years that hold nine tenths of the chance: "1905–1915"; empty where they say nothing new.

    Beside a window that is not stated they would gainsay it.
    """
    if finding.window is None:
        return ""
    runs = [(run.start, run.end) for run in finding.likely]
    if finding.years or not runs or len(runs) > MOST_RUNS:
        return ""
    if sum(last - first + 1 for first, last in runs) > MOST_LIKELY_YEARS:
        return ""
    if runs == [tuple(finding.window)]:
        return ""
    return ", ".join(span(first, last) for first, last in runs)


def span(first: int, last: int) -> str:
    """1920 or 1920–1935."""
    return str(first) if first == last else f"{first}–{last}"

"""CSV injection: text that a spreadsheet program would run as a formula, made harmless and read back.

After OWASP's advice ("CSV Injection"): a cell that begins with = + - @, a tab or a line's end gets an
apostrophe before it. So does one that begins with apostrophes and then one of these, and nothing else: one
apostrophe taken away gives back exactly what was there.
"""

import re

# The wide forms of the four signs are taken for them by some programs.
_RUNS = re.compile("'*[=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20]")


def quoted(text: str) -> str:
    """The text as a cell that no program runs."""
    return f"'{text}" if _RUNS.match(text) else text


def unquoted(text: str) -> str:
    """What `quoted` was given."""
    return text[1:] if text.startswith("'") and _RUNS.match(text) else text

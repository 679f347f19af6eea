"""What README and DEVELOPERS.md tell of the dating tables, written anew from the tables.

``python -m tests.dating.told`` after rows were added: two tests compare the sentences with the tables.
"""

import re

from dating import reference
from tests.benchmarks.reliability import sentence
from tests.running import ROOT

from .mutations import in_words, survey

README, DEVELOPERS = ROOT / "README.md", ROOT / "DEVELOPERS.md"
HOW_TO_WRITE = "python -m tests.dating.told writes it anew"
READ = re.compile(r"Of \d+ marks \d+% were read in a publication.*? are from memory\.(?= |\n)")
NOTICED = re.compile(r"second sources notice \d+ % of .*? years of codes by \d+ years")


def renewed(text: str, old: re.Pattern[str], new: str) -> str:
    """The text with its one sentence of that kind as it is now.

    Raises ValueError where there is not just one.
    """
    if len(old.findall(text)) != 1:
        raise ValueError(f"There is not exactly one sentence like {old.pattern}")
    return old.sub(lambda _: new, text)


def main() -> None:
    """Write both files."""
    ref = reference()
    for file, old, new in ((README, READ, sentence(ref)), (DEVELOPERS, NOTICED, in_words(survey(ref)))):
        text = file.read_text(encoding="utf-8")
        file.write_text(renewed(text, old, new), encoding="utf-8")


if __name__ == "__main__":
    main()

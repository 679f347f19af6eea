"""A maker as a file: its name, works, marks and codes, to keep or to give to another catalogue.

The file is JSON in UTF-8:

    {"format": "siltmark-maker", "version": 1,
     "maker": {"name": …, "place": …, "country": …, "from": 1922, "to": 1950, "source": …},
     "works": [{"name": …, "town": …, "from": …, "to": …}],
     "marks": [rows with the columns of the published table of marks],
     "codes": [rows with the columns of the published table of date codes]}

Years are whole numbers or null, `from_circa` and `to_circa` true or false, everything else text. A code's
`mark_ids` name marks of the file by their `id`, parted by semicolons; empty means all of them. `works` of a
code names one of the works of the file. Of a mark `maker`, `place`, `country`, `source` and `basis` may be
given and are passed over, as they are the maker's; of a code `example`, `source` and `basis`. Notes on the
maker stay at home. Only `format`, `version` and the maker's name are needed.
"""

from .errors import MakerFileError
from .read import MAKER_FILE_BYTES, MakerFile, read_maker_file
from .take_in import take_in, would_change
from .write import write_maker_file

__all__ = [
    "MAKER_FILE_BYTES",
    "MakerFile",
    "MakerFileError",
    "read_maker_file",
    "take_in",
    "would_change",
    "write_maker_file",
]

"""BagIt 1.0 tag files (RFC 8493): the declaration, manifests and `bag-info.txt`, written and read strictly.

Pure text in and out. Payload manifests are SHA-256: the originals are named by that digest already.
"""

import re
import unicodedata
from collections.abc import Iterable, Mapping

DECLARATION_FILE, INFO_FILE, FETCH_FILE = "bagit.txt", "bag-info.txt", "fetch.txt"
PAYLOAD = "data/"
ALGORITHM = "sha256"
MANIFEST_FILE, TAG_MANIFEST_FILE = f"manifest-{ALGORITHM}.txt", f"tagmanifest-{ALGORITHM}.txt"
DECLARATION = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
# Two lines and no other white space (RFC 8493, 2.1.1); the last line may lack its end, and CR, LF and CRLF
# all end a line (2.1.1 and section 5.2).
_DECLARATION = re.compile(
    rb"BagIt-Version: (\d+)\.(\d+)(?:\r\n|\n|\r)Tag-File-Character-Encoding: UTF-8(?:\r\n|\n|\r)?"
)
_LINE = re.compile(r"([0-9A-Fa-f]{64})[ \t]+\*?(.+)")
_LINE_END = re.compile(r"\r\n|\n|\r")
# Only these are encoded in a path, and all of them (2.1.3).
_ENCODED = {"%": "%25", "\n": "%0A", "\r": "%0D"}
_PERCENT = re.compile(r"%(0A|0D|25)", re.IGNORECASE)
# The longest path that is read; file systems end at 255 bytes a name.
MAX_PATH = 1000


class BagError(ValueError):
    """Not a bag as RFC 8493 wants it, or not a safe one; the message says what is wrong, as a clause."""


def check_declaration(content: bytes) -> None:
    """Raise BagError unless `bagit.txt` declares version 1.0 in UTF-8, to the letter."""
    found = _DECLARATION.fullmatch(content)
    if found is None:
        raise BagError(f"its {DECLARATION_FILE} is not what the standard asks")
    if (found[1], found[2]) != (b"1", b"0"):
        version = f"{found[1].decode()}.{found[2].decode()}"
        raise BagError(f"it is a bag of version {version}, not 1.0")


def manifest(digests: Mapping[str, str]) -> str:
    """A manifest of paths from the bag's root and their SHA-256, sorted by path."""
    return "".join(f"{digest}  {encoded(path)}\n" for path, digest in sorted(digests.items()))


def read_manifest(content: bytes, name: str) -> dict[str, str]:
    """Digests by path. Raises BagError for a line that is none, an unsafe path, or one listed twice.

    Two paths that a file system may take for one (upper and lower case, composed and decomposed letters)
    are twice the same one.
    """
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError:
        raise BagError(f"its {name} is not text in UTF-8") from None
    found: dict[str, str] = {}
    seen: set[str] = set()
    for number, line in enumerate(_LINE_END.split(text), start=1):
        if not line:
            continue
        parts = _LINE.fullmatch(line)
        if parts is None:
            raise BagError(f"line {number} of its {name} is not a digest and a path")
        path = decoded(parts[2])
        check_path(path)
        if (alike := folded(path)) in seen:
            raise BagError(f"its {name} lists {path} twice")
        seen.add(alike)
        found[path] = parts[1].lower()
    return found


def check_path(path: str) -> None:
    """Raise BagError for a path that leads out of the bag, or that some system reads otherwise."""
    parts = path.split("/")
    if (
        not path
        or len(path) > MAX_PATH
        or path.startswith(("/", "~"))
        or "\\" in path
        or ":" in path
        or any(part in ("", ".", "..") or part != part.strip(" .") for part in parts)
        or any(ord(letter) < 32 or ord(letter) == 127 for letter in path)
    ):
        raise BagError(f"it names a file {path[:80]!r}, which leads out of it or is not a plain name")


def folded(path: str) -> str:
    """The same text for paths that a file system may take for one."""
    return unicodedata.normalize("NFC", path).casefold()


def encoded(path: str) -> str:
    """A path as a manifest writes it."""
    return "".join(_ENCODED.get(letter, letter) for letter in path)


def decoded(path: str) -> str:
    """A path as it is, from what a manifest writes."""
    return _PERCENT.sub(lambda found: chr(int(found[1], 16)), path)


def info(pairs: Iterable[tuple[str, str]]) -> str:
    """`bag-info.txt`: a label and its value a line, without line ends of their own."""
    return "".join(f"{label}: {' '.join(value.split())}\n" for label, value in pairs)


def read_info(content: bytes) -> dict[str, str]:
    """Values by label; a line that begins with white space goes on with the one before. Never raises."""
    found: dict[str, str] = {}
    label = ""
    for line in _LINE_END.split(content.decode("utf-8", errors="replace")):
        if line[:1] in (" ", "\t") and label:
            found[label] += f" {line.strip()}"
        elif ":" in line:
            label, value = (part.strip() for part in line.split(":", 1))
            found[label] = value
    return found


def payload_oxum(lengths: Iterable[int]) -> str:
    """Octets and number of the payload's files, for a quick look at completeness (2.2.2)."""
    every = list(lengths)
    return f"{sum(every)}.{len(every)}"

"""A zip64 whose entries are stored as they are, written from front to back (a small part of APPNOTE 6.3).

The standard library writes the same, but needs each byte to pass through it for its checksum; here the system
copies, the checksum is taken when what was written is read back, and the headers get it at the end.
"""

import struct
from dataclasses import dataclass
from datetime import datetime
from typing import IO

LOCAL, CENTRAL = struct.Struct("<4s5H3L2H"), struct.Struct("<4s6H3L5H2L")
LONG_LENGTHS = struct.Struct("<2H2Q")
END64, LOCATOR, END = struct.Struct("<4sQ2H2L4Q"), struct.Struct("<4sLQL"), struct.Struct("<4s4H2LH")
LOCAL_MARK, CENTRAL_MARK = b"PK\x03\x04", b"PK\x01\x02"
END64_MARK, LOCATOR_MARK, END_MARK = b"PK\x06\x06", b"PK\x06\x07", b"PK\x05\x06"
# Version 4.5 reads zip64; made on a system whose files have rights.
ZIP64_VERSION, MADE_BY, UTF8_NAME, STORED_METHOD, LONG_FIELD = 45, 45 | 3 << 8, 0x800, 0, 1
OWNER_FILE = 0o100600 << 16
ELSEWHERE_32, ELSEWHERE_16 = 0xFFFFFFFF, 0xFFFF
EARLIEST, LATEST = (1980, 1, 1, 0, 0, 0), (2107, 12, 31, 23, 59, 59)


@dataclass(slots=True)
class ZipEntry:
    """One file in it: where its header and its bytes begin, its length in bytes, its CRC-32 once known."""

    name: bytes
    when: datetime
    at: int
    begin: int = 0
    length: int = 0
    crc: int = 0

    def header(self) -> bytes:
        """What stands before its bytes."""
        fixed = LOCAL.pack(
            LOCAL_MARK, ZIP64_VERSION, UTF8_NAME, STORED_METHOD, *_dos(self.when), self.crc,
            ELSEWHERE_32, ELSEWHERE_32, len(self.name), LONG_LENGTHS.size,
        )  # fmt: skip
        return fixed + self.name + LONG_LENGTHS.pack(LONG_FIELD, 16, self.length, self.length)

    def listed(self) -> bytes:
        """What the list at the end says of it."""
        long = [value for value in (self.length, self.length, self.at) if value >= ELSEWHERE_32]
        extra = struct.pack(f"<2H{len(long)}Q", LONG_FIELD, 8 * len(long), *long) if long else b""
        length, at = min(self.length, ELSEWHERE_32), min(self.at, ELSEWHERE_32)
        fixed = CENTRAL.pack(
            CENTRAL_MARK, MADE_BY, ZIP64_VERSION, UTF8_NAME, STORED_METHOD, *_dos(self.when), self.crc,
            length, length, len(self.name), len(extra), 0, 0, 0, OWNER_FILE, at,
        )  # fmt: skip
        return fixed + self.name + extra


class StoredZip:
    """Writes one to `out`, which stands at its beginning; used once. Raises OSError."""

    def __init__(self, out: IO[bytes]) -> None:
        self.out = out
        self.entries: list[ZipEntry] = []

    def begin(self, name: str, when: datetime) -> ZipEntry:
        """Begin a file; its bytes are written to `out` next."""
        entry = ZipEntry(name.encode(), when, self.out.tell())
        self.out.write(entry.header())
        entry.begin = self.out.tell()
        self.entries.append(entry)
        return entry

    def finish(self) -> None:
        """Write the headers anew, with the lengths and checksums that the entries have now, and the list."""
        end = self.out.tell()
        for entry in self.entries:
            self.out.seek(entry.at)
            self.out.write(entry.header())
        self.out.seek(end)
        for entry in self.entries:
            self.out.write(entry.listed())
        self._write_end(end, self.out.tell())

    def _write_end(self, start: int, end: int) -> None:
        count, length = len(self.entries), end - start
        if count >= ELSEWHERE_16 or start >= ELSEWHERE_32 or length >= ELSEWHERE_32:
            own = END64.size - 12
            self.out.write(
                END64.pack(END64_MARK, own, MADE_BY, ZIP64_VERSION, 0, 0, count, count, length, start)
                + LOCATOR.pack(LOCATOR_MARK, 0, end, 1)
            )
        count = min(count, ELSEWHERE_16)
        length, start = min(length, ELSEWHERE_32), min(start, ELSEWHERE_32)
        self.out.write(END.pack(END_MARK, 0, 0, count, count, length, start, 0))


def _dos(when: datetime) -> tuple[int, int]:
    """Time and date as a zip has them: no zone, every other second, 1980 to 2107."""
    year, month, day, hour, minute, second = min(LATEST, max(EARLIEST, when.timetuple()[:6]))
    return hour << 11 | minute << 5 | second // 2, year - 1980 << 9 | month << 5 | day

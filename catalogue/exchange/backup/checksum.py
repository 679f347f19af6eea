"""CRC-32 as zips have it, by the processor's own instructions where `isal` is there."""

try:
    from isal.isal_zlib import crc32
except ImportError:  # A machine for which it isn't made: slower, the same sum.
    from zlib import crc32

__all__ = ["crc32"]

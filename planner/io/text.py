"""Text of a file whose encoding nobody wrote down."""

from __future__ import annotations

import codecs
from pathlib import Path

_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


def decode(raw: bytes) -> str:
    """Bytes to text: by byte-order mark, else UTF-8, else Windows 1252, with a mark for each byte that 1252 lacks."""
    for mark, encoding in _MARKS:
        if raw.startswith(mark):
            return raw.decode(encoding, errors="replace")
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError:
        return raw.decode("cp1252", errors="replace")


def read_text(path: Path) -> str:
    """Text of a file, with line ends as '\\n'. Raises OSError when it cannot be read."""
    return decode(path.read_bytes()).replace("\r\n", "\n").replace("\r", "\n")

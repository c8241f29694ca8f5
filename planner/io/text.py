"""Text of a file whose encoding nobody wrote down."""

from __future__ import annotations

import codecs
from pathlib import Path

_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


def decode_named(raw: bytes) -> tuple[str, str]:
    """Bytes to text and the name of the encoding: by byte-order mark, by zeros, else UTF-8, else Windows 1252.

    Bytes that Windows 1252 lacks become a mark of their own. Text of two bytes a character without a byte-order mark
    is known by its zeros, which no log or table holds otherwise.
    """
    for mark, encoding in _MARKS:
        if raw.startswith(mark):
            return raw.decode(encoding, errors="replace"), encoding
    start = raw[:4000]
    if len(start) > 8 and start[1::2].count(0) > 0.4 * len(start[1::2]):
        return raw.decode("utf-16-le", errors="replace"), "utf-16-le"
    if len(start) > 8 and start[0::2].count(0) > 0.4 * len(start[0::2]):
        return raw.decode("utf-16-be", errors="replace"), "utf-16-be"
    try:
        return raw.decode("utf-8"), "utf-8"
    except UnicodeDecodeError:
        return raw.decode("cp1252", errors="replace"), "cp1252"


def decode(raw: bytes) -> str:
    """Bytes to text, see `decode_named`."""
    return decode_named(raw)[0]


def read_text(path: Path) -> str:
    """Text of a file, with line ends as '\\n'. Raises OSError when it cannot be read."""
    return read_text_named(path)[0]


def read_text_named(path: Path) -> tuple[str, str]:
    """Text of a file, with line ends as '\\n', and its encoding. Raises OSError when it cannot be read."""
    text, encoding = decode_named(path.read_bytes())
    return text.replace("\r\n", "\n").replace("\r", "\n"), encoding

"""Text of a file whose encoding nobody wrote down."""

from __future__ import annotations

import codecs
from pathlib import Path

from planner.base.errors import Problem
from planner.io.reporting import Report

# First bytes of files that hold no text, though their ending may say so.
_NO_TEXT = (
    (b"PK\x03\x04", "an archive or a spreadsheet (zip)", "Unpack it, or save the sheet as CSV, and give that file"),
    (b"\xd0\xcf\x11\xe0", "a spreadsheet or document of an office program", "Save it as CSV text"),
    (b"\x1f\x8b", "a compressed file (gzip)", "Unpack it and give the file inside"),
    (b"7z\xbc\xaf", "a compressed file (7z)", "Unpack it and give the file inside"),
    (b"Rar!", "a compressed file (rar)", "Unpack it and give the file inside"),
    (b"%PDF", "a PDF document", "Give the numbers as text"),
    (b"PAR1", "a Parquet table", "Save it as CSV text"),
    (b"\x89PNG", "a picture", "Give the numbers as text"),
)


class NotText(ValueError):
    """A file that holds no text; says what it holds, '; ', and the remedy."""

    def problem(self, name: str) -> Problem:
        """What to tell of a file of this name."""
        message, _, remedy = str(self).partition("; ")
        return Problem(name, "", "", message, remedy)


_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


def decode_named(raw: bytes) -> tuple[str, str]:
    """Bytes to text and the name of the encoding: by byte-order mark, by zeros, else UTF-8, else Windows 1252.

    Bytes that Windows 1252 lacks become a mark of their own. Text of two bytes a character without a byte-order mark
    is known by its zeros, which no log or table holds otherwise. Raises NotText for archives,
    spreadsheets and the like.
    """
    for start, what, remedy in _NO_TEXT:
        if raw.startswith(start):
            raise NotText(f"this is {what}, not text; {remedy}.")
    for mark, encoding in _MARKS:
        if raw.startswith(mark):
            return raw.decode(encoding, errors="replace"), encoding
    start = raw[:4000]
    if len(start) > 8 and start[1::2].count(0) > 0.4 * len(start[1::2]):
        return raw.decode("utf-16-le", errors="replace"), "utf-16-le"
    if len(start) > 8 and start[0::2].count(0) > 0.4 * len(start[0::2]):
        return raw.decode("utf-16-be", errors="replace"), "utf-16-be"
    if sum(start.count(byte) for byte in range(1, 9)) > 0.01 * len(start):
        raise NotText("this file holds bytes that no text has; Give a text file.")
    try:
        return raw.decode("utf-8"), "utf-8"
    except UnicodeDecodeError:
        return raw.decode("cp1252", errors="replace"), "cp1252"


def decode(raw: bytes) -> str:
    """Bytes to text, see `decode_named`."""
    return decode_named(raw)[0]


def read_text_named(path: Path) -> tuple[str, str]:
    """Text of a file, with line ends as '\\n', and its encoding. Raises OSError when it cannot be read, NotText.

    Zero bytes, which some loggers fill their files with, are left out.
    """
    text, encoding = decode_named(path.read_bytes())
    return text.replace("\0", "").replace("\r\n", "\n").replace("\r", "\n"), encoding


def read_or_report(path: Path, name: str, place: str, report: Report) -> tuple[str, str] | None:
    """Text of a file that the user named, and its encoding; None after a report of why it cannot be read."""
    try:
        return read_text_named(path)
    except OSError:
        remedy = f"Put it at {path.name} beside the case file."
        report(Problem(name, place, "", "file not found or not readable", remedy))
    except NotText as error:
        report(error.problem(name))
    return None

"""Errors that a user meets: what is wrong, where, which value, and what to do about it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Problem:
    """One thing wrong in the input.

    file: name of the file (or '' when the input came from memory); place: path inside it, such as
    'layer[2].top_md' or 'row 4, column top md'; value: the offending value as text; message: what is wrong;
    remedy: what to do.
    """

    file: str
    place: str
    value: str
    message: str
    remedy: str

    def __str__(self) -> str:
        where = ": ".join(part for part in (self.file, self.place) if part)
        shown = f" (value: {self.value})" if self.value else ""
        return f"{where}: {self.message}{shown}. {self.remedy}"


class CaseError(ValueError):
    """Bad input, carrying every problem found, not only the first. The command line exits with status 2 on it."""

    def __init__(self, problems: list[Problem]) -> None:
        self.problems = list(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class Refusal(ValueError):
    """A what-if that the string cannot do; the text says what is missing and where."""


class ForecastError(RuntimeError):
    """The march in time could not go on; the text says when, where and which equation was worst."""


class Cancelled(RuntimeError):
    """The user cancelled the work. kept: a sentence on what of it stays; '' where nothing does."""

    def __init__(self, text: str = "cancelled", kept: str = "") -> None:
        self.kept = kept
        super().__init__(text)

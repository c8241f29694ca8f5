"""Addresses of pages: /p/PROJECT/PAGE?w=CARD&on=2031-06, which a colleague on the same server can open."""

from __future__ import annotations

import re
from dataclasses import dataclass
from urllib.parse import parse_qs, urlencode


@dataclass(frozen=True)
class Address:
    """Where a browser is: project and page ('' for the list of cases), the what-if in hand, the date of the picture."""

    project: str = ""
    page: str = ""
    card: str = ""
    on: str = ""

    def path(self) -> str:
        """The part before the question mark."""
        return f"/p/{self.project}/{self.page}" if self.project else "/"

    def text(self) -> str:
        """The whole address."""
        asked = {key: value for key, value in (("w", self.card), ("on", self.on)) if value}
        return self.path() + (f"?{urlencode(asked)}" if asked else "")


def parse(pathname: str | None, search: str | None = "") -> Address:
    """The address that a browser shows; what cannot be read is left out."""
    found = re.fullmatch(r"/p/([0-9a-f]{16})(?:/([a-z-]*))?/?", pathname or "")
    if not found:
        return Address()
    asked = parse_qs((search or "").lstrip("?"))
    card = asked.get("w", [""])[0]
    on = asked.get("on", [""])[0]
    return Address(
        found[1],
        found[2] or "",
        card if re.fullmatch(r"[0-9a-f]{1,32}", card) else "",
        on if re.fullmatch(r"\d{4}-\d{2}", on) else "",
    )

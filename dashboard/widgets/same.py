"""What is shown already is not drawn again: what a person has typed into it stays, and the browser has less to do."""

from __future__ import annotations

import hashlib
import json
from typing import Any

from plotly.utils import PlotlyJSONEncoder


def mark(shown: Any, *more: Any) -> str:
    """A short text that is the same for the same components and the same that they are about."""
    text = json.dumps([shown, *more], cls=PlotlyJSONEncoder, sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()[:16]

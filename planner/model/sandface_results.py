"""Results at the sandface: the shares of a skin, and a horizontal section by published formulas. Frozen, SI."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class SkinShare:
    """One part of the skin of a layer where it opens to an element of the string.

    name: 'damage', 'perforations', 'screen' ...; value: its share of the skin; rate: m3/s at the pressure of the pipe
    through the opening at which it holds, None for a part that does not depend on the rate; card: key of the method
    card, '' for a number of the user.
    """

    layer: str
    zone: str
    element: str
    name: str
    value: float
    rate: float | None
    card: str


@dataclass(frozen=True)
class HorizontalIndex:
    """Productivity index of a section along the hole, surface m3/s/Pa, by the network and by published formulas.

    drawdown: Pa, between the layer's average pressure and the bore; lengths m. joshi, babu_odeh: None where `missing`
    says why, one sentence each; warnings: where a formula is outside its range.
    """

    layer: str
    length: float
    thickness: float
    skin: float
    drawdown: float
    network: float
    joshi: float | None
    babu_odeh: float | None
    missing: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()

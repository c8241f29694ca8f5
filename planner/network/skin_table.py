"""The skin of every opening, part by part, as the network uses it at a state of the well.

For a row of the sandface: scale * total mobility * (drop of potential) / rate = resistance of the rock + sum of the
parts. Parts at rest come from `composed`; losses in series are read back at the flow, as the skin that costs as much.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from planner.model.names import element_names
from planner.model.sandface_results import SkinShare
from planner.network.arrays import CONDUIT, Floats, Switches, Work
from planner.network.compile import Network
from planner.network.composed import Share
from planner.network.loss import Loss

LEAST_RATE = 1e-9  # m3/s, below which an opening is at rest
AT_RATE = ("screen", "plugging", "gravel", "nozzles", "turbulence as given", "turbulence", "changed by events")
CARDS = {
    "screen": "screen_loss", "plugging": "screen_loss", "gravel": "forchheimer_1901", "nozzles": "orifice",
}  # fmt: skip


@dataclass(frozen=True)
class Moment:
    """A well at a moment: the arrays of a march, or of a network at the start. rates [links] of conduits, m3/s."""

    x: Floats
    work: Work
    switches: Switches
    screen_linear: Floats
    screen_quadratic: Floats
    rates: Floats


def at_start(network: Network, work: Work) -> Moment:
    """The well at rest as it was built; work must hold the properties of the start."""
    nothing = np.zeros(len(network.links.kind))
    return Moment(network.start, work, network.switches, network.screen_linear, network.screen_quadratic, nothing)


def skin_shares(network: Network, now: Moment) -> tuple[SkinShare, ...]:
    """Shares by layer, zone, element and part: means over the openings of an element, weighted by what they give."""
    names = element_names(network.case)
    sums: dict[tuple[str, str, str, str, str], float] = {}
    weights: dict[tuple[str, str, str], float] = {}
    rates: dict[tuple[str, str, str], float] = {}
    for row, body_index in network.body_of_row.items():
        body = network.bodies[body_index]
        piece = network.graph.pieces[network.piece_of_row[row]]
        place = (
            network.case.layers[body.layer].name, network.graph.zones[body.zone].name, names[piece.element],
        )  # fmt: skip
        rate = rate_of(network, now, row)
        weight = max(abs(rate), LEAST_RATE * network.scale[row] / max(network.scale.values()))
        weights[place] = weights.get(place, 0.0) + weight
        rates[place] = rates.get(place, 0.0) + rate
        for share in row_shares(network, now, row):
            key = (*place, share.name, share.card)
            sums[key] = sums.get(key, 0.0) + weight * share.value
    return tuple(
        SkinShare(
            *key[:3], name=key[3], value=value / weights[key[:3]],
            rate=abs(rates[key[:3]]) if key[3] in AT_RATE else None, card=key[4],
        )
        for key, value in sums.items()
    )  # fmt: skip


def row_shares(network: Network, now: Moment, row: int) -> Iterator[Share]:
    """Every part of the skin of one row of the sandface."""
    skin = network.skins[row]
    yield from skin.shares
    multiplier = float(now.switches.multiplier[row])
    if multiplier <= 0.0 or network.scale[row] <= 0.0:
        return
    if multiplier != 1.0:
        built = network.scale[row] / float(network.links.conductance[row])
        yield Share("changed by events", built * (1.0 / multiplier - 1.0))
    yield from _in_series(network, now, row)
    yield from _turbulence(network, now, row)
    yield from _behind(network, now, row)


def rate_of(network: Network, now: Moment, row: int) -> float:
    """Volume rate through a row as its loss sees it, m3/s: total mobility times drop; positive into the pipe."""
    a, b = int(network.links.a[row]), int(network.links.b[row])
    flux, mobility = now.work.flux[row], now.work.mobility[a, 0]
    if max(flux[0], flux[1], flux[2]) > 0.0:
        face = 1 if network.links.sweep[row] == 1 else 0
        mobility = now.work.mobility[a, face]
        free = flux[2] - now.work.solution[a] * flux[1]
        means = (1.0, 1.0, _gas_mean(now, a, b))
        parts = [(mobility[k] * means[k], (flux[0], flux[1], free)[k]) for k in range(3)]
        size, through = max(parts)
        return float(through / size * now.work.total[a]) if size > 0.0 else 0.0
    contents = now.work.content[b]
    k = int(np.argmax(contents))
    return float(flux[k] / contents[k]) if contents[k] > 0.0 else 0.0


def _gas_mean(now: Moment, a: int, b: int) -> float:
    """Mean of 1/(Bg mu) between two nodes, as the sandface takes it."""
    rise = float(now.x[a, 0] - now.x[b, 0])
    if abs(rise) < 1.0:
        return float(0.5 * (now.work.gas[a, 1] + now.work.gas[b, 1]))
    return float((now.work.gas[a, 0] - now.work.gas[b, 0]) / rise)


def _skin_of(network: Network, now: Moment, row: int, loss: Loss, node: int, rate: float) -> float:
    """The skin that costs as much as losses (in series) do at a volume rate, with what fills a node."""
    density, viscosity = now.work.mixture[node, 0], now.work.mixture[node, 1]
    each = loss.linear * viscosity * 1e3 + loss.quadratic * density * 1e-3 * abs(rate)
    return float(network.scale[row] * now.work.total[int(network.links.a[row])] * each)


def _in_series(network: Network, now: Moment, row: int) -> Iterator[Share]:
    """Screen, nozzles and gravel in tunnels of an opening straight into the bore."""
    parts = dict(network.losses.get(row, {}))
    _grow(parts, float(now.screen_linear[row] - network.screen_linear[row]))
    _turn(parts, float(now.screen_quadratic[row] - network.screen_quadratic[row]))
    rate = rate_of(network, now, row)
    for name, loss in parts.items():
        yield Share(name, _skin_of(network, now, row, loss, int(network.links.b[row]), rate), CARDS[name])


def _turbulence(network: Network, now: Moment, row: int) -> Iterator[Share]:
    """What the rate of gas through the row adds."""
    a = int(network.links.a[row])
    free = float(now.work.flux[row, 2] - now.work.solution[a] * now.work.flux[row, 1])
    for name, (per_rate, card) in network.turbulence_parts.get(row, {}).items():
        yield Share(name, per_rate * abs(free), card)


def _behind(network: Network, now: Moment, row: int) -> Iterator[Share]:
    """Screen, gravel and nozzles between the annulus that a row flows into and the bore there."""
    piece = network.piece_of_row[row]
    if network.annulus.get(piece) != int(network.links.b[row]):
        return
    for conduit in _screens_of(network, piece):
        if now.switches.multiplier[conduit] == 0.0:
            continue
        parts = dict(network.losses.get(conduit, {}))
        _grow(parts, float(now.switches.linear[conduit]))
        _turn(parts, float(now.switches.quadratic[conduit]))
        rate, through = rate_of(network, now, row), float(now.rates[conduit])
        if abs(rate) < LEAST_RATE or abs(through) < LEAST_RATE:
            rate = through = 1.0  # at rest: as if all of the opening's flow went through the screen beside it
            parts = {name: Loss(loss.linear, 0.0) for name, loss in parts.items()}
        a, b = int(network.links.a[conduit]), int(network.links.b[conduit])
        for name, loss in parts.items():
            skin = 0.5 * sum(_skin_of(network, now, row, loss, node, through) for node in (a, b))
            yield Share(name, skin * through / rate, CARDS[name])


def _screens_of(network: Network, piece: int) -> list[int]:
    return [
        row for link in network.graph.links if link.kind == "screen" and link.piece == piece
        for row in network.rows_of_link[link.index] if network.links.kind[row] == CONDUIT
    ]  # fmt: skip


def _grow(parts: dict[str, Loss], linear: float) -> None:
    if linear > 0.0:
        parts["plugging"] = Loss(linear, 0.0)


def _turn(parts: dict[str, Loss], quadratic: float) -> None:
    if quadratic != 0.0 and "nozzles" in parts:
        parts["nozzles"] = Loss(0.0, parts["nozzles"].quadratic + quadratic)

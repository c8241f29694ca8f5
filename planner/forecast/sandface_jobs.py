"""What events do at the sandface: skins, screens that plug up, valves. Works on the switches of a march."""

from __future__ import annotations

from dataclasses import dataclass, field

from planner.base.constants import DAY
from planner.forecast.march import March
from planner.model import change
from planner.model.names import element_names
from planner.network.arrays import CONDUIT
from planner.network.compile import LEAST_STIMULATED, Body
from planner.network.setting import refuse_valve


@dataclass
class Ramp:
    """Rows whose multiplier falls evenly from one share to another between two times (s)."""

    rows: list[int]
    start: float
    end: float
    before: list[float]
    remaining: float


@dataclass
class SandfaceJobs:
    """Applies events at the sandface.

    closed: rows behind shut valves -> the multiplier that they come back to; shut_zones: zones that valves shut.
    """

    march: March
    ramps: list[Ramp] = field(default_factory=list)
    closed: dict[int, float] = field(default_factory=dict)
    shut_zones: set[int] = field(default_factory=set)

    def _multiplier(self, row: int) -> float:
        return self.closed.get(row, float(self.march.switches.multiplier[row]))

    def _multiply(self, row: int, value: float) -> None:
        """Set the multiplier of a row; behind a shut valve it waits."""
        if row in self.closed:
            self.closed[row] = value
        else:
            self.march.switches.multiplier[row] = value

    def before_step(self) -> None:
        """Move what changes gradually."""
        for ramp in list(self.ramps):
            span = ramp.end - ramp.start
            share = 1.0 if span <= 0.0 else min(max((self.march.time - ramp.start) / span, 0.0), 1.0)
            for row, before in zip(ramp.rows, ramp.before, strict=True):
                self._multiply(row, before * (1.0 + share * (ramp.remaining - 1.0)))
            if share >= 1.0:
                self.ramps.remove(ramp)

    def _zone_bodies(self, zone: str) -> list[tuple[int, Body]]:
        net = self.march.network
        index = [z.name for z in net.graph.zones].index(zone)
        return [(k, body) for k, body in enumerate(net.bodies) if body.zone == index]

    def skin(self, event: change.Stimulate) -> str:
        """A new number in place of the layers' own skin; what is composed beside it stays.

        The resistances from the well outwards shrink in turn until the sum is right.
        """
        net = self.march.network
        for index, body in self._zone_bodies(event.zone):
            layer = net.case.layers[body.layer]
            first = float(body.grid.resistance[0])
            least = max(0.2 * first, LEAST_STIMULATED)
            short = 0.0
            for row in (row for row, at in net.body_of_row.items() if at == index):
                built = first + net.skins[row].total - body.held_skin
                wanted = built + net.skins[row].stretch * (event.skin - layer.skin)
                short = max(short, least - wanted)
                self._multiply(row, max(built, LEAST_STIMULATED) / max(wanted, least))
            for k, row in enumerate(body.link_rows, start=1):
                resistance = float(body.grid.resistance[k])
                cut = min(short, 0.9 * resistance)
                self.march.switches.multiplier[row] = resistance / (resistance - cut)
                short -= cut
        return f"skin of {event.zone} becomes {event.skin:g}"

    def plug_screen(self, event: change.PlugScreen) -> str:
        """The inflow conductance of a zone falls to a share, at once or over a time."""
        net = self.march.network
        bodies = {k for k, _ in self._zone_bodies(event.zone)}
        rows = [row for row, body in net.body_of_row.items() if body in bodies]
        now = self.march.time
        before = [self._multiplier(row) for row in rows]
        self.ramps.append(Ramp(rows, now, now + event.over, before, event.remaining))
        self.before_step()
        spread = f" over {event.over / DAY:.0f} days" if event.over > 0.0 else ""
        return f"screens of {event.zone} plug up to {event.remaining:.0%} of their inflow conductance{spread}"

    def valve(self, event: change.SetValve) -> str:
        """Turn the valves of an element: their loss grows with the inverse square of the area left open."""
        net = self.march.network
        rows = self._valve_rows(event.element)
        for row in rows:
            base = net.losses[row]["nozzles"].quadratic
            if event.opening <= 0.0:
                self.closed.setdefault(row, float(self.march.switches.multiplier[row]))
                self.march.switches.multiplier[row] = 0.0
                continue
            self.march.switches.multiplier[row] = self.closed.pop(row, float(self.march.switches.multiplier[row]))
            more = base * (1.0 / event.opening**2 - 1.0)
            if net.links.kind[row] == CONDUIT:
                self.march.switches.quadratic[row] = more
            else:
                self.march.screen_quadratic[row] = net.screen_quadratic[row] + more
        self._mark_zones()
        how = "closed" if event.opening <= 0.0 else f"opened to {event.opening:.0%} of their area"
        return f"valves of {event.element} {how}"

    def _valve_rows(self, name: str) -> list[int]:
        """Rows through the nozzles of an element. Raises Refusal where it has none."""
        refuse_valve(self.march.network.graph, name)
        net = self.march.network
        names = element_names(net.case)
        pieces = {p.index for p in net.graph.pieces if names[p.element] == name}
        own = [row for row, piece in net.piece_of_row.items() if piece in pieces]
        for link in net.graph.links:
            if link.kind == "screen" and link.piece in pieces:
                own += net.rows_of_link[link.index]
        rows = [row for row in own if "nozzles" in net.losses.get(row, {})]
        return rows

    def _mark_zones(self) -> None:
        """A zone whose ways into the bore are all behind shut valves counts as shut, for limits and drawdown."""
        net = self.march.network
        ways: dict[int, list[int]] = {}
        for row, piece in net.piece_of_row.items():
            if int(net.links.b[row]) == net.bore[piece]:
                ways.setdefault(net.graph.zone_of_piece[piece], []).append(row)
        for link in net.graph.links:
            if link.kind in ("screen", "screen end"):
                ways.setdefault(net.graph.zone_of_piece[link.piece], []).extend(net.rows_of_link[link.index])
        for zone, rows in ways.items():
            if rows and all(row in self.closed for row in rows):
                self.shut_zones.add(zone)
                self.march.open_zones.open[zone] = False
            elif zone in self.shut_zones:
                self.shut_zones.remove(zone)
                self.march.open_zones.open[zone] = True

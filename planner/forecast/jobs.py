"""What events do to a well on the march: switches of links, supports and controls. Never the topology."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from planner.base.constants import AIR_MOLAR_MASS, GAS_CONSTANT
from planner.base.errors import Refusal
from planner.forecast.march import March, first_mode
from planner.forecast.sandface_jobs import SandfaceJobs
from planner.forecast.supports import Inflows
from planner.model import change
from planner.model.case import Case
from planner.model.case import Control as CaseControl
from planner.model.lift import Tubing
from planner.model.names import element_names
from planner.network.arrays import Control
from planner.network.compile import Network
from planner.network.interventions import Action, Job, plan
from planner.network.lift import lift_of_case
from planner.network.lift_table import LiftTable, empty_table
from planner.network.links import leak_of

NOZZLE_COEFFICIENT = 0.8  # discharge coefficient of a nozzle; common practice, no source
ABANDONED = 2.0e5  # Pa, least bottom-hole pressure where no control gives one
NONE = math.nan
NOT_CONTROL = {"on", "when", "cost", "do", "way", "duration", "chance"}


def lift_table(case: Case, tubing: Tubing | None, wellhead_pressure: float | None) -> LiftTable:
    """Table of a tubing at the wellhead pressure of a control [Pa]; an empty one where either is missing."""
    if tubing is None or wellhead_pressure is None:
        return empty_table()
    return lift_of_case(case, wellhead_pressure, tubing).table


def outlet_control(network: Network, given: CaseControl, tubing: Tubing | None = None) -> Control:
    """The kernel's record of a control. Rates not given are nan: no limit."""
    case = network.case
    tubing = tubing or case.tubing
    kind = case.well.kind
    injector = {"water injector": 1, "gas injector": 3}.get(kind, 0)

    def number(value: float | None) -> float:
        return NONE if value is None else value

    floor = given.bottom_hole_pressure
    if floor is None:
        floor = 1e12 if injector else ABANDONED
    water = given.water_rate if given.water_rate is not None else (given.liquid_rate if injector else None)
    return Control(
        top=network.top,
        injector=injector,
        shut=given.shut,
        floor=floor,
        drawdown=number(given.drawdown),
        wellhead=number(given.wellhead_pressure) if tubing is not None else NONE,
        lift=lift_table(case, tubing, given.wellhead_pressure),
        oil=number(given.oil_rate),
        liquid=number(given.liquid_rate),
        water=number(water),
        gas=number(given.gas_rate),
        fastest=sound_limit(network),
    )


def sound_limit(network: Network) -> float:
    """Most that can leave the string, m3/s at the conditions there: isothermal speed of sound in ideal gas times area.

    Source: any textbook of compressible flow (isothermal choking at sqrt(R T / M)); liquids never come near it.
    """
    fluid = network.case.fluid
    speed = math.sqrt(GAS_CONSTANT * fluid.temperature / (AIR_MOLAR_MASS * fluid.gas.gravity))
    return speed * 0.25 * math.pi * network.graph.pieces[0].inner_diameter ** 2


@dataclass
class Jobs:
    """Applies events to a march and remembers what was done."""

    march: March
    inflows: Inflows
    control: CaseControl
    done: list[Action] = field(default_factory=list)
    leaks: dict[str, float] = field(default_factory=dict)
    states: dict[str, str] = field(default_factory=dict)
    tubing: Tubing | None = None
    held: bool = False  # shut in while a job is being done

    def __post_init__(self) -> None:
        case = self.march.network.case
        self.sandface = SandfaceJobs(self.march)
        self.leaks = {name: case.string[k].leak for k, name in enumerate(element_names(case))}

    def apply(self, event: change.Event) -> str:
        """Do it; returns what was done, for people. Raises Refusal where the string cannot."""
        if isinstance(event, Job):
            text = self._in_string(event)
        elif isinstance(event, change.Stimulate):
            text = self.sandface.skin(event)
        elif isinstance(event, change.LeakSeal):
            text = self._leak(event)
        elif isinstance(event, change.PlugScreen):
            text = self.sandface.plug_screen(event)
        elif isinstance(event, change.SetValve):
            text = self.sandface.valve(event)
            self.states[event.element] = "closed" if event.opening <= 0.0 else "open"
        elif isinstance(event, change.LoseSupport):
            text = self._lose_support(event)
        elif isinstance(event, change.ChangeLift):
            text = self._lift(event)
        elif isinstance(event, change.ChangeControl):
            given = event.model_dump(exclude_none=True, exclude=NOT_CONTROL)
            self.set_control(self.control.model_copy(update=given))
            changed = ", ".join(sorted(k.replace("_", " ") for k in given))
            text = f"control changed: {changed}" if given else "nothing changes"
        else:
            raise TypeError(f"{type(event).__name__} is not applied during the march")
        self.revive()
        return text

    def set_control(self, control: CaseControl) -> None:
        """A new control of the well."""
        self.control = control
        if self.held:
            control = control.model_copy(update={"shut": True})
        self.march.control = outlet_control(self.march.network, control, self.tubing)
        oil_at_top = bool(self.march.x[self.march.control.top, 1] > 0.1)
        self.march.modes[0] = first_mode(self.march.control, oil_at_top)
        if control.shut:
            self.march.outlet[0] = 0.0
        self.march.restart()

    def _lift(self, event: change.ChangeLift) -> str:
        tubing = self.tubing or self.march.network.case.tubing
        if tubing is None:
            raise Refusal("the lift cannot change: the case has no tubing")
        given = {
            name: value for name in ("gas_lift", "pump", "inner_diameter")
            if (value := getattr(event, name)) is not None
        }  # fmt: skip
        self.tubing = tubing.model_copy(update=given)
        self.set_control(self.control)
        return "lift changed: " + ", ".join(sorted(name.replace("_", " ") for name in given))

    def hold(self, held: bool) -> None:
        """Shut the well in for a job, or let it flow again under its control."""
        self.held = held
        self.set_control(self.control)

    def revive(self) -> None:
        """Let a well that had died try again under its control."""
        self.set_control(self.control)

    def before_step(self) -> None:
        """Move what changes gradually."""
        self.sandface.before_step()

    def _in_string(self, event: change.Event) -> str:
        net = self.march.network
        action = plan(net.graph, event, self.done)
        switches = self.march.switches
        for links, multiplier in ((action.close, 0.0), (action.open, 1.0)):
            for link in links:
                for row in net.rows_of_link[link]:
                    switches.multiplier[row] = multiplier
                    switches.linear[row] = 0.0
                    switches.quadratic[row] = 0.0
        for link, area in action.nozzle:
            for row in net.rows_of_link[link]:
                switches.multiplier[row] = 1.0
                switches.linear[row] = 0.0
                switches.quadratic[row] = 1000.0 / (2.0 * NOZZLE_COEFFICIENT**2 * area**2)
        self.done.append(action)
        self.states.update(action.elements)
        names = [zone.name for zone in net.graph.zones]
        for name in names:
            if name in action.elements:
                self.march.open_zones.open[names.index(name)] = action.elements[name] != "shut"
        return action.text

    def layers_of(self, zone: str) -> tuple[str, ...]:
        """Names of the layers of a zone; none for a name that no zone has."""
        net = self.march.network
        numbers = [k for k, one in enumerate(net.graph.zones) if one.name == zone]
        return tuple(dict.fromkeys(net.case.layers[body.layer].name for body in net.bodies if body.zone in numbers))

    def _leak(self, event: change.LeakSeal) -> str:
        net = self.march.network
        self.leaks[event.element] = event.conductance
        found = False
        for link in net.graph.links:
            if event.element in link.elements:
                found = True
                self._set_leak(net.rows_of_link[link.index], leak_of(link, self.leaks))
        if not found:
            found = self._leak_job(event)
        self.states[event.element] = "leaking" if event.conductance > 0.0 else "tight"
        return (
            f"{event.element} "
            + ("begins to leak" if event.conductance > 0.0 else "is tight again")
            + ("" if found else "; nothing lies on both sides of it, so nothing flows")
        )

    def _leak_job(self, event: change.LeakSeal) -> bool:
        """A plug or straddle set by an earlier job in the blank pipe of that name."""
        net = self.march.network
        found = False
        for blank in net.graph.blanks:
            for link in range(blank.first, blank.last):
                if blank.name == event.element and any(link in action.close for action in self.done):
                    self._set_leak(net.rows_of_link[link], event.conductance)
                    found = True
        return found

    def _set_leak(self, rows: list[int], conductance: float) -> None:
        for row in rows:
            self.march.switches.multiplier[row] = 1.0 if conductance > 0.0 else 0.0
            self.march.switches.linear[row] = 1.0 / conductance if conductance > 0.0 else 0.0

    def _lose_support(self, event: change.LoseSupport) -> str:
        for row in self.march.network.boundary_rows.get(event.support, []):
            self.march.switches.multiplier[row] = event.remaining
        self.inflows.remaining[event.support] = event.remaining
        return f"support {event.support} falls to {event.remaining:.0%}"

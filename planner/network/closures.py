"""Which blank pipes part a zone from the rest of the well, and what is missing where none do."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import dataclass

from planner.network.reach import (
    gap_beside,
    least_cut,
    live_zones,
    waterways,
    way_round,
    without,
)
from planner.network.records import TOP, Blank, WellGraph
from planner.network.setting import blanks_beside, inlets, too_short


@dataclass(frozen=True)
class State:
    """State of the string: links that are open now (nozzles too), and those of them that hold a nozzle."""

    open: frozenset[int]
    nozzles: frozenset[int] = frozenset()

    @property
    def free(self) -> frozenset[int]:
        """Links in which nothing sits."""
        return self.open - self.nozzles


def initial_state(graph: WellGraph) -> State:
    """State of the string as it was run."""
    return State(frozenset(link.index for link in graph.links if link.open))


@dataclass(frozen=True)
class Closure:
    """How a zone can be shut on its own: a plug (lower is None) or a straddle; `missing`: why not, when neither."""

    upper: Blank | None = None
    lower: Blank | None = None
    missing: tuple[str, ...] = ()

    @property
    def kind(self) -> str:
        """'plug', 'straddle' or ''."""
        if self.upper is None:
            return ""
        return "plug" if self.lower is None else "straddle"


def closure_of(graph: WellGraph, zone: int, state: State) -> Closure:
    """The nearest blank pipes that part a zone from the top and from every other live zone, by a minimum cut."""
    if inlets(graph, zone) is None:
        return Closure(missing=(f"{graph.zones[zone].name}: no screen or open hole leads from it into the bore",))
    ways = waterways(graph, state.open)
    if zone not in live_zones(graph, ways):
        return Closure(missing=(f"{graph.zones[zone].name} is shut in already",))
    above, below = blanks_beside(graph, zone)
    uppers = {b.lower: b for b in above if b.rooms and b.lower in state.free}
    lowers = {b.upper: b for b in below if b.rooms and b.upper in state.free}
    cut = least_cut(graph, ways, zone, {**uppers, **lowers})
    top = [uppers[k] for k in cut or () if k in uppers]
    base = [lowers[k] for k in cut or () if k in lowers]
    if len(top) == 1 and len(base) < 2:
        return Closure(top[0], base[0] if base else None)
    return Closure(missing=_missing(graph, zone, state, live_zones(graph, ways)))


def _missing(graph: WellGraph, zone: int, state: State, live: Set[int]) -> tuple[str, ...]:
    """What lacks above a zone and, when a deeper zone is live, below it: one sentence each."""
    above, below = blanks_beside(graph, zone)
    sentences = _side(graph, zone, above, state, over=True)
    if any(k > zone for k in live):
        sentences += _side(graph, zone, below, state, over=False)
    return tuple(sentences) or (f"{graph.zones[zone].name} is joined to the rest of the well inside the string",)


def _side(graph: WellGraph, zone: int, blanks: list[Blank], state: State, over: bool) -> list[str]:
    places = {b.name: b.lower if over else b.upper for b in blanks}
    if any(b.rooms and places[b.name] in state.free for b in blanks):
        return []
    if not blanks:
        return [f"there is no blank pipe {gap_beside(graph, zone, over)}"]
    sentences = []
    for blank in blanks:
        taken = f"{blank.name} has no room left: a packer or plug already sits there"
        sentences.append(too_short(graph.case, blank) or taken)
    return sentences


@dataclass(frozen=True)
class PlugOutlook:
    """What a plug at the lower place of a blank pipe would do now: zones it shuts, or why it would not."""

    shuts: tuple[int, ...] = ()
    missing: tuple[str, ...] = ()


def plug_outlook(graph: WellGraph, blank: Blank, state: State) -> PlugOutlook:
    """Zones that a plug in a blank pipe shuts in, all deeper ones; none when fluid gets round it."""
    if not blank.rooms:
        return PlugOutlook(missing=(too_short(graph.case, blank),))
    if blank.lower not in state.free:
        return PlugOutlook(missing=(f"{blank.name} has no room left: a packer or plug already sits there",))
    ways = waterways(graph, state.open)
    closed = without(ways, [graph.links[blank.lower]])
    around = way_round(graph, closed, ("bore", blank.lower + 1), TOP, blank)
    if around:
        return PlugOutlook(missing=(around,))
    shuts = tuple(sorted(live_zones(graph, ways) - live_zones(graph, closed)))
    return PlugOutlook(shuts, () if shuts else (f"no zone that flows lies deeper than {blank.name}",))


def straddle_outlook(graph: WellGraph, upper: Blank, lower: Blank, state: State) -> PlugOutlook:
    """Zones that a straddle between two blank pipes shuts in; none when fluid gets round either packer."""
    missing = [too_short(graph.case, blank) for blank in (upper, lower) if not blank.rooms]
    for blank, place in ((upper, upper.lower), (lower, lower.upper)):
        if blank.rooms and place not in state.free:
            missing.append(f"{blank.name} has no room left: a packer or plug already sits there")
    if missing:
        return PlugOutlook(missing=tuple(missing))
    ways = waterways(graph, state.open)
    closed = without(ways, [graph.links[upper.lower], graph.links[lower.upper]])
    between = ("bore", upper.lower + 1)
    rounds = (
        way_round(graph, closed, between, ("bore", upper.lower), upper),
        way_round(graph, closed, ("bore", lower.upper + 1), ("bore", lower.upper), lower),
    )
    if any(rounds):
        return PlugOutlook(missing=tuple(text for text in rounds if text))
    deeper = {k for k in live_zones(graph, ways) if _all_below(graph, k, lower.upper)}
    shuts = tuple(sorted(live_zones(graph, ways) - live_zones(graph, closed) - deeper))
    none = f"no zone that flows lies between {upper.name} and {lower.name}"
    return PlugOutlook(shuts, () if shuts else (none,))


def _all_below(graph: WellGraph, zone: int, link: int) -> bool:
    """Whether all inlets of a zone lie below a bore link; a blank pipe above the link may belong to it too."""
    own = inlets(graph, zone)
    return own is not None and own[0] > link


def describe_zone(graph: WellGraph, zone: int) -> Closure:
    """How a zone could be shut in the string as it was run; one behind a plug of the string counts as plugged."""
    state = initial_state(graph)
    found = closure_of(graph, zone, state)
    if found.kind or inlets(graph, zone) is None or zone in live_zones(graph, waterways(graph, state.open)):
        return found
    first = (inlets(graph, zone) or (0, 0))[0]
    plugs = [link for link in graph.links[: len(graph.pieces) - 1] if not link.open and link.index < first]
    if not plugs:
        return found
    text = f"{graph.zones[zone].name} is shut in already by {plugs[-1].name}"
    return Closure(graph.blank_at(plugs[-1].index), None, (text,))

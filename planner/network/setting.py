"""Where a packer, plug or straddle for a zone could be set: the blank pipes just above and below it."""

from __future__ import annotations

from planner.base.errors import Refusal
from planner.model.case import Case
from planner.model.names import in_words
from planner.network.pieces import later_need
from planner.network.records import Blank, WellGraph


def zone_index(graph: WellGraph, name: str) -> int:
    """Index of a zone. Raises Refusal naming the zones that there are."""
    for k, zone in enumerate(graph.zones):
        if zone.name == name:
            return k
    known = ", ".join(zone.name for zone in graph.zones)
    raise Refusal(f"there is no zone '{name}'; the outside seals of this string make: {known}")


def blank_named(graph: WellGraph, name: str) -> Blank:
    """The blank pipe of that name. Raises Refusal naming those that there are."""
    for blank in graph.blanks:
        if blank.name == name:
            return blank
    known = ", ".join(blank.name for blank in graph.blanks) or "none"
    raise Refusal(f"there is no blank pipe '{name}'; blank pipes of this string: {known}")


def refuse_valve(graph: WellGraph, name: str) -> None:
    """Raises Refusal, naming the elements with nozzles, where the element of that name has none."""
    having = dict.fromkeys(piece.name for piece in graph.pieces if piece.nozzles > 0.0)
    if name not in having:
        raise Refusal(f"{name} has no valves to turn; elements with nozzles: {', '.join(having) or 'none'}")


def inlets(graph: WellGraph, zone: int) -> tuple[int, int] | None:
    """First and last piece of a zone through which its outside reaches the bore; none for one behind blank pipe."""
    own = [p.index for p in graph.pieces if p.lets_in and graph.zone_of_piece[p.index] == zone]
    return (own[0], own[-1]) if own else None


def spans(graph: WellGraph, zone: int) -> tuple[tuple[int, int], tuple[int, int]]:
    """Pieces (first, last) of the bore between this zone's inlets and those of the zones next above and below."""
    own = inlets(graph, zone)
    if own is None:
        raise ValueError(f"{graph.zones[zone].name} has no inlet")
    first, last = own
    others = [
        p.index for p in graph.pieces if p.lets_in and graph.zone_of_piece[p.index] not in (-1, zone)
    ]  # fmt: skip
    above = max((k for k in others if k < first), default=-1)
    below = min((k for k in others if k > last), default=len(graph.pieces))
    return (above + 1, first - 1), (last + 1, below - 1)


def blanks_beside(graph: WellGraph, zone: int) -> tuple[list[Blank], list[Blank]]:
    """Blank pipes between a zone and its neighbours above and below, nearest first, whatever their length."""
    if inlets(graph, zone) is None:
        return [], []
    over, under = spans(graph, zone)
    above = [b for b in graph.blanks if over[0] <= b.first and b.last <= over[1]]
    below = [b for b in graph.blanks if under[0] <= b.first and b.last <= under[1]]
    return above[::-1], below


def is_deepest(graph: WellGraph, zone: int) -> bool:
    """Whether no zone with an inlet lies deeper."""
    return all(inlets(graph, k) is None for k in range(zone + 1, len(graph.zones)))


def too_short(case: Case, blank: Blank) -> str:
    """Sentence for a blank pipe that holds no later element, '' for one that does."""
    if blank.rooms:
        return ""
    later = case.later_element
    return (
        f"{blank.name} at {in_words(case, blank.top_md)} is {in_words(case, blank.length)} long; a later element needs "
        f"{in_words(case, later_need(later))} ({in_words(case, later.length)} and a depth tolerance of "
        f"{in_words(case, later.depth_tolerance)} each way)"
    )

"""Block elimination (3 x 3 blocks) on a fixed symmetric pattern.

The ordering (minimum degree) and every index that the numeric part needs are worked out once per pattern; the numeric
part is one compiled pass. Source of the ordering: Tinney and Walker 1967, scheme 2.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from planner.base.compiled import kernel

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


class Pattern(NamedTuple):
    """Symbolic elimination of n blocks.

    order [n]: block eliminated at each step; first [n+1]: range of edges of each step; node [edges]: the later block of
    an edge. Updates of step k stand in pair_first[k]:pair_first[k+1]: edge one, edge two, target (edge or block) and
    kind (0: diagonal, 1: upper of the target edge, 2: lower). link_edge [links], link_flip [links]: where the two
    off-diagonal blocks of a link (a, b) are kept; flip is 1 when b is eliminated before a.
    """

    order: Ints
    first: Ints
    node: Ints
    pair_first: Ints
    pair_one: Ints
    pair_two: Ints
    target: Ints
    kind: Ints
    link_edge: Ints
    link_flip: Ints


def _minimum_degree(
    n: int, neighbours: list[set[int]], follows: set[int], last: int
) -> tuple[list[int], list[list[int]]]:
    """Elimination order and the later neighbours of each block, fill included; see `analyse` for `follows`, `last`."""
    waiting = {node for node in follows if neighbours[node]}
    heap = [(len(neighbours[node]), node) for node in range(n) if node not in waiting and node != last]
    heapq.heapify(heap)
    done = [False] * n
    order: list[int] = []
    later: list[list[int]] = []
    while heap:
        degree, node = heapq.heappop(heap)
        if done[node]:
            continue
        if degree != len(neighbours[node]):
            heapq.heappush(heap, (len(neighbours[node]), node))
            continue
        done[node] = True
        around = sorted(neighbours[node])
        order.append(node)
        later.append(around)
        for one in around:
            neighbours[one].discard(node)
            neighbours[one].update(two for two in around if two != one)
            waiting.discard(one)
            if one != last:
                heapq.heappush(heap, (len(neighbours[one]), one))
    return (order, later) if last < 0 else ([*order, last], [*later, []])


def analyse(n: int, links: NDArray[np.int64], follows: Iterable[int] = (), last: int = -1) -> Pattern:
    """Symbolic elimination for n blocks joined by links [links, 2].

    follows: blocks that may be eliminated only after one of their neighbours (constraint rows, which have no weight of
    their own: eliminating them first would cancel digits). last: a block to be eliminated after all others; -1: none.
    """
    neighbours: list[set[int]] = [set() for _ in range(n)]
    for a, b in links:
        neighbours[int(a)].add(int(b))
        neighbours[int(b)].add(int(a))
    order, later = _minimum_degree(n, neighbours, set(follows), last)
    position = {node: step for step, node in enumerate(order)}
    edge_of: dict[tuple[int, int], int] = {}
    first = [0]
    node_of: list[int] = []
    for step, around in enumerate(later):
        for other in around:
            edge_of[(order[step], other)] = len(node_of)
            node_of.append(other)
        first.append(len(node_of))
    ones: list[int] = []
    twos: list[int] = []
    targets: list[int] = []
    kinds: list[int] = []
    pair_first = [0]
    for step, around in enumerate(later):
        start = first[step]
        for u, i in enumerate(around):
            for v, j in enumerate(around):
                ones.append(start + u)
                twos.append(start + v)
                if i == j:
                    targets.append(i)
                    kinds.append(0)
                elif position[i] < position[j]:
                    targets.append(edge_of[(i, j)])
                    kinds.append(1)
                else:
                    targets.append(edge_of[(j, i)])
                    kinds.append(2)
        pair_first.append(len(ones))
    link_edge = np.empty(len(links), dtype=np.int64)
    link_flip = np.empty(len(links), dtype=np.int64)
    for row, (a, b) in enumerate(links):
        flip = position[int(a)] > position[int(b)]
        link_flip[row] = flip
        link_edge[row] = edge_of[(int(b), int(a)) if flip else (int(a), int(b))]
    return Pattern(
        _ints(order),
        _ints(first),
        _ints(node_of),
        _ints(pair_first),
        _ints(ones),
        _ints(twos),
        _ints(targets),
        _ints(kinds),
        link_edge,
        link_flip,
    )


def _ints(values: list[int]) -> Ints:
    return np.asarray(values, dtype=np.int64)


@kernel
def invert3(m: Floats, out: Floats) -> bool:
    """Inverse of a 3 x 3 block by elimination with partial pivoting; False when a pivot vanishes."""
    work = np.empty((3, 6))
    for i in range(3):
        biggest = 0.0
        for j in range(3):
            biggest = max(biggest, abs(m[i, j]))
        if biggest == 0.0:
            return False
        for j in range(3):
            work[i, j] = m[i, j] / biggest
            work[i, j + 3] = 0.0
        work[i, i + 3] = 1.0 / biggest
    for c in range(3):
        pivot = c
        for r in range(c + 1, 3):
            if abs(work[r, c]) > abs(work[pivot, c]):
                pivot = r
        if abs(work[pivot, c]) < 1e-300:
            return False
        if pivot != c:
            for j in range(6):
                held = work[c, j]
                work[c, j] = work[pivot, j]
                work[pivot, j] = held
        scale = 1.0 / work[c, c]
        for j in range(c, 6):
            work[c, j] *= scale
        for r in range(3):
            if r != c:
                factor = work[r, c]
                if factor != 0.0:
                    for j in range(c, 6):
                        work[r, j] -= factor * work[c, j]
    for i in range(3):
        for j in range(3):
            out[i, j] = work[i, j + 3]
    return True


@kernel
def solve(pattern: Pattern, diagonal: Floats, upper: Floats, lower: Floats, rhs: Floats) -> bool:
    """Solve in place: diagonal [n,3,3], upper and lower [edges,3,3] become factors, rhs [n,3] the solution.

    upper[e] is the block in the row of the earlier node of edge e, lower[e] the one in the row of the later node.
    Returns False when a block is singular.
    """
    if not factorise(pattern, diagonal, upper, lower):
        return False
    substitute(pattern, diagonal, upper, lower, rhs)
    return True


@kernel
def factorise(pattern: Pattern, diagonal: Floats, upper: Floats, lower: Floats) -> bool:
    """Eliminate in place; diagonal then holds inverses. Returns False when a block is singular."""
    work = np.empty((3, 3))
    inverse = np.empty((3, 3))
    for step in range(pattern.order.shape[0]):
        k = pattern.order[step]
        if not invert3(diagonal[k], inverse):
            return False
        for i in range(3):
            for j in range(3):
                diagonal[k, i, j] = inverse[i, j]
        pair = pattern.pair_first[step]
        for e1 in range(pattern.first[step], pattern.first[step + 1]):
            for i in range(3):
                for j in range(3):
                    work[i, j] = (
                        lower[e1, i, 0] * inverse[0, j] + lower[e1, i, 1] * inverse[1, j]
                        + lower[e1, i, 2] * inverse[2, j]
                    )  # fmt: skip
            for e2 in range(pattern.first[step], pattern.first[step + 1]):
                where = pattern.target[pair]
                kind = pattern.kind[pair]
                pair += 1
                for i in range(3):
                    for j in range(3):
                        value = (
                            work[i, 0] * upper[e2, 0, j] + work[i, 1] * upper[e2, 1, j]
                            + work[i, 2] * upper[e2, 2, j]
                        )  # fmt: skip
                        if kind == 0:
                            diagonal[where, i, j] -= value
                        elif kind == 1:
                            upper[where, i, j] -= value
                        else:
                            lower[where, i, j] -= value
    return True


@kernel
def substitute(pattern: Pattern, inverse: Floats, upper: Floats, lower: Floats, rhs: Floats) -> None:
    """Solve with the factors: rhs [n,3] becomes the solution."""
    n = pattern.order.shape[0]
    for step in range(n):
        k = pattern.order[step]
        y0 = inverse[k, 0, 0] * rhs[k, 0] + inverse[k, 0, 1] * rhs[k, 1] + inverse[k, 0, 2] * rhs[k, 2]
        y1 = inverse[k, 1, 0] * rhs[k, 0] + inverse[k, 1, 1] * rhs[k, 1] + inverse[k, 1, 2] * rhs[k, 2]
        y2 = inverse[k, 2, 0] * rhs[k, 0] + inverse[k, 2, 1] * rhs[k, 1] + inverse[k, 2, 2] * rhs[k, 2]
        rhs[k, 0] = y0
        rhs[k, 1] = y1
        rhs[k, 2] = y2
        for e in range(pattern.first[step], pattern.first[step + 1]):
            later = pattern.node[e]
            for i in range(3):
                rhs[later, i] -= lower[e, i, 0] * y0 + lower[e, i, 1] * y1 + lower[e, i, 2] * y2
    for step in range(n - 1, -1, -1):
        k = pattern.order[step]
        b0 = 0.0
        b1 = 0.0
        b2 = 0.0
        for e in range(pattern.first[step], pattern.first[step + 1]):
            later = pattern.node[e]
            x0, x1, x2 = rhs[later, 0], rhs[later, 1], rhs[later, 2]
            b0 += upper[e, 0, 0] * x0 + upper[e, 0, 1] * x1 + upper[e, 0, 2] * x2
            b1 += upper[e, 1, 0] * x0 + upper[e, 1, 1] * x1 + upper[e, 1, 2] * x2
            b2 += upper[e, 2, 0] * x0 + upper[e, 2, 1] * x1 + upper[e, 2, 2] * x2
        for i in range(3):
            rhs[k, i] -= inverse[k, i, 0] * b0 + inverse[k, i, 1] * b1 + inverse[k, i, 2] * b2

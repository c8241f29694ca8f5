"""Cells of a layer and what joins them, exact in pressure for any number of cells.

Cell pressures are volume averages. Conductances follow from the exact pressure profile of steady flow (layers with
support) or of depletion at an even rate (closed layers), so that one cell gives ln(re/rw) - 3/4 and many cells resolve
the transient. Source: the averages are integrals of the textbook profiles (e.g. Dake 1978, chapter 6).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Cells:
    """Cells of a column, inner to outer.

    volume [n]: share of the bulk volume. resistance [n+1]: dimensionless resistances well to cell 1, cell to cell, and
    last cell to the outer boundary (inf when closed); conductance is `scale` / resistance. edges [n+1], m. areas [n]:
    plan areas, m2.
    """

    volume: Floats
    resistance: Floats
    edges: Floats
    areas: Floats


def radial_edges(inner: float, outer: float, cells: int, near: int) -> Floats:
    """Radii of ring edges: `near` logarithmic rings, the rest of equal volume; the inner disk has that volume too."""
    near = min(near, cells)
    if near == cells:
        return np.geomspace(inner, outer, cells + 1)
    split = np.sqrt(inner**2 + (outer**2 - inner**2) / (cells - near + 1))
    squares = np.linspace(split**2, outer**2, cells - near + 1)
    if near == 0:
        return np.sqrt(np.linspace(inner**2, outer**2, cells + 1))
    return np.concatenate((np.geomspace(inner, split, near + 1), np.sqrt(squares[1:])))


def radial_cells(inner: float, outer: float, cells: int, near: int, closed: bool) -> Cells:
    """Rings between two radii [m]; conductance = 2 pi k h / resistance."""
    edges = radial_edges(inner, outer, cells, near)
    squares = edges**2
    span = outer**2 - inner**2

    def primitive(r: Floats) -> Floats:
        """Integral of r P(r) dr with P the pressure rise above the well at unit rate."""
        steady = 0.5 * r**2 * np.log(r / inner) - 0.25 * r**2
        if not closed:
            return steady
        return (outer**2 * steady - (r**4 / 8.0 - inner**2 * r**2 / 4.0)) / span

    mean = 2.0 * np.diff(primitive(edges)) / np.diff(squares)
    passing = (outer**2 - squares) / span if closed else np.ones(cells + 1)
    resistance = np.full(cells + 1, np.inf)
    resistance[0] = mean[0]
    resistance[1:-1] = np.diff(mean) / passing[1:-1]
    if not closed:
        resistance[-1] = np.log(outer / inner) - mean[-1]
    return Cells(np.diff(squares) / span, resistance, edges, np.pi * np.diff(squares))


def linear_cells(length: float, width: float, cells: int, closed: bool) -> Cells:
    """Slabs of equal size from the well face; conductance = k * height * width / resistance (resistance in m)."""
    edges = np.linspace(0.0, length, cells + 1)

    def primitive(x: Floats) -> Floats:
        return x**2 / 2.0 - x**3 / (6.0 * length) if closed else x**2 / 2.0

    mean = np.diff(primitive(edges)) / np.diff(edges)
    passing = 1.0 - edges / length if closed else np.ones(cells + 1)
    resistance = np.full(cells + 1, np.inf)
    resistance[0] = mean[0]
    resistance[1:-1] = np.diff(mean) / passing[1:-1]
    if not closed:
        resistance[-1] = length - mean[-1]
    return Cells(np.diff(edges) / length, resistance, edges, width * np.diff(edges))

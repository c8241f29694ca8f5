"""Correlation between columns of draws, without touching what each column holds by itself."""

from __future__ import annotations

import networkx as nx
import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

Floats = NDArray[np.float64]


def groups(matrix: Floats) -> list[list[int]]:
    """Columns that hang together by correlations, groups of two and more; columns alone are left out."""
    tied = nx.from_numpy_array((np.abs(matrix) > 0.0) & ~np.eye(len(matrix), dtype=bool))
    return [sorted(part) for part in nx.connected_components(tied) if len(part) > 1]


def reordered(columns: Floats, wanted: Floats, rng: np.random.Generator) -> Floats:
    """The values of each column [N, k] in an order that gives the correlation of normals `wanted` [k, k].

    Van der Waerden scores are shuffled, given the wanted sample correlation exactly, and every column takes their
    ranks; each column keeps its values. Needs more rows than columns. Source: Iman and Conover 1982, A distribution-
    free approach to inducing rank correlation among input variables, Comm. Stat. B11(3).
    """
    count, width = columns.shape
    scores = ndtri(np.arange(1, count + 1) / (count + 1.0))
    shuffled = np.column_stack([rng.permutation(scores) for _ in range(width)])
    own = np.linalg.cholesky(np.corrcoef(shuffled, rowvar=False))
    target = shuffled @ np.linalg.inv(own).T @ _root(wanted).T
    made = np.empty_like(columns)
    for k in range(width):
        ranks = np.argsort(np.argsort(target[:, k], kind="stable"), kind="stable")
        made[:, k] = np.sort(columns[:, k])[ranks]
    return made


def copula(columns: Floats, wanted: Floats) -> Floats:
    """Even numbers [N, k] between 0 and 1, independent, made dependent by a Gaussian copula with `wanted` [k, k]."""
    made: Floats = ndtr(ndtri(columns) @ _root(wanted).T)
    return made


def _root(matrix: Floats) -> Floats:
    """A matrix whose product with its transpose is `matrix`, also where that is singular."""
    try:
        root: Floats = np.asarray(np.linalg.cholesky(matrix), dtype=np.float64)
    except np.linalg.LinAlgError:
        values, vectors = np.linalg.eigh(matrix)
        root = np.asarray(vectors * np.sqrt(np.clip(values, 0.0, None)), dtype=np.float64)
    return root

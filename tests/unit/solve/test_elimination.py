"""Block elimination against numpy's dense solver on random patterns."""

import numpy as np
import pytest

from planner.solve.elimination import analyse, invert3, solve


def random_system(n: int, extra: int, seed: int):
    rng = np.random.default_rng(seed)
    links = {(i, int(rng.integers(0, i))) for i in range(1, n)}
    while len(links) < n - 1 + extra:
        a, b = (int(v) for v in rng.integers(0, n, 2))
        if a != b and (a, b) not in links and (b, a) not in links:
            links.add((a, b))
    pairs = np.array(sorted(links), dtype=np.int64)
    dense = np.zeros((3 * n, 3 * n))
    diagonal = rng.normal(size=(n, 3, 3)) + 8 * np.eye(3)[[2, 0, 1]]
    ab, ba = rng.normal(size=(2, len(pairs), 3, 3))
    for i in range(n):
        dense[3 * i : 3 * i + 3, 3 * i : 3 * i + 3] = diagonal[i]
    for (a, b), one, two in zip(pairs, ab, ba, strict=True):
        dense[3 * a : 3 * a + 3, 3 * b : 3 * b + 3] = one
        dense[3 * b : 3 * b + 3, 3 * a : 3 * a + 3] = two
    return pairs, dense, diagonal, ab, ba, rng.normal(size=(n, 3))


@pytest.mark.parametrize(("n", "extra"), [(1, 0), (2, 0), (20, 0), (40, 15)])
def test_solution_equals_dense(n: int, extra: int) -> None:
    pairs, dense, diagonal, ab, ba, rhs = random_system(n, extra, seed=n)
    pattern = analyse(n, pairs.reshape(-1, 2))
    upper = np.zeros((len(pattern.node), 3, 3))
    lower = np.zeros_like(upper)
    for row in range(len(pairs)):
        e, flip = pattern.link_edge[row], pattern.link_flip[row]
        upper[e], lower[e] = (ba[row], ab[row]) if flip else (ab[row], ba[row])
    expected = np.linalg.solve(dense, rhs.ravel()).reshape(n, 3)
    assert solve(pattern, diagonal.copy(), upper, lower, rhs)
    np.testing.assert_allclose(rhs, expected, rtol=1e-9, atol=1e-10)


def test_tree_has_no_fill() -> None:
    pairs = random_system(200, 0, seed=3)[0]
    assert len(analyse(200, pairs).node) == 199


def test_inverse_keeps_digits_where_rows_differ_by_many_orders() -> None:
    block = np.array([[1e-9, 2.0, 3.0], [4e5, 1e12, 2e11], [5.0, -3e3, 1.0]])
    out = np.empty((3, 3))
    assert invert3(block, out)
    np.testing.assert_allclose(out @ block, np.eye(3), atol=1e-6)


def test_singular_block_is_reported() -> None:
    assert not invert3(np.zeros((3, 3)), np.empty((3, 3)))

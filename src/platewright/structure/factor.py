"""Factorised equations that check their answers, and the lowest modes by inverse iteration.

SuperLU factors in the order of least degree, symmetric, without pivoting: the matrices are positive definite. Every
answer is put back into its equations, and a poor one is refused, as is a matrix that is nearly singular.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_array
from scipy.sparse.linalg import LinearOperator, eigsh, onenormest, splu

from platewright.foundation.errors import StructureError

__all__ = ["LARGEST_ERROR", "Factor", "backward_error", "lowest_modes"]

Floats = NDArray[np.float64]
Sparse = Any

LARGEST_ERROR = 1e-12
"""Largest backward error of a solution [-]."""
_CONDITION = 1e13  # largest condition of the scaled equations: beyond it fewer than three figures are sure [-]


class Factor:
    """A factorised symmetric positive definite matrix that checks its answers.

    Parameters
    ----------
    matrix : sparse (n, n)
        To be solved.
    name : str
        What it is, for messages.
    """

    def __init__(self, matrix: Sparse, name: str) -> None:
        self.matrix = matrix.tocsc()
        self.name = name
        self.worst_residual = 0.0
        diagonal = self.matrix.diagonal()
        if not (diagonal > 0).all():
            msg = f"the equations of the {name} have no single answer: something is not held."
            raise StructureError(msg)
        self._scale = 1 / np.sqrt(diagonal)
        self._norm = float(abs(self.matrix).sum(axis=1).max())
        try:
            lower_upper = splu(
                self.matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True}
            )
        except RuntimeError as error:
            msg = f"the equations of the {name} have no single answer: something is not held."
            raise StructureError(msg) from error
        self.solve_unchecked = lower_upper.solve
        self.condition = self._condition()
        if not self.condition < _CONDITION:
            msg = (
                f"the equations of the {name} are too near to singular (condition {self.condition:.1e}); "
                "look for parts that hang by a thread, or moduli that differ by many powers of ten."
            )
            raise StructureError(msg)

    def solve(self, right: Floats) -> Floats:
        """Return the answer for one or more right-hand sides, (n,) or (n, k).

        Raises
        ------
        StructureError
            If the answer does not satisfy the equations.
        """
        if not right.size or not np.abs(right).max():
            return np.zeros_like(right)
        found: Floats = self.solve_unchecked(right)
        left = right - self.matrix @ found
        worst = backward_error(self._norm, left, right, found)
        if not worst < LARGEST_ERROR:
            found = found + self.solve_unchecked(left)
            worst = backward_error(self._norm, right - self.matrix @ found, right, found)
        if not worst < LARGEST_ERROR:
            msg = f"the equations of the {self.name} could not be solved well enough (residual {worst:.1e})."
            raise StructureError(msg)
        self.worst_residual = max(self.worst_residual, worst)
        return found

    def _condition(self) -> float:
        s = self._scale
        n = len(s)

        def invert(x: Floats) -> Floats:
            flat = np.asarray(x).reshape(n, -1)
            found: Floats = self.solve_unchecked(np.ascontiguousarray(flat / s[:, None])) / s[:, None]
            return found

        scaled = csc_array(self.matrix.multiply(s[:, None]).multiply(s[None, :]))
        size = float(abs(scaled).sum(axis=0).max())
        operator = LinearOperator((n, n), matvec=invert, matmat=invert, rmatvec=invert, rmatmat=invert, dtype=float)
        return size * float(onenormest(operator, t=1 if n < 4 else 2, itmax=2))


def backward_error(norm: float, left: Sparse, right: Sparse, found: Sparse) -> float:
    """Return by what share equations would have to differ for an answer to be exact, the worst of all columns [-].

    Parameters
    ----------
    norm : float
        Largest sum of a row of the matrix, in size.
    left, right, found : (n, ...) float or complex
        What the answer leaves over, what was asked, and the answer.
    """
    size = np.abs(right).max(axis=0) + norm * np.abs(found).max(axis=0)
    return float((np.abs(left).max(axis=0) / np.where(size > 0, size, 1.0)).max())


def lowest_modes(factor: Factor, mass: Sparse, count: int) -> tuple[Floats, Floats]:
    """Return the lowest squares of circular frequency and their vectors, mass 1, by inverse Lanczos iteration.

    Parameters
    ----------
    factor : Factor
        The stiffness.
    mass : sparse (n, n)
        The mass.
    count : int
        How many.

    Raises
    ------
    StructureError
        If there are fewer freedoms than modes, or one is not found.
    """
    n = factor.matrix.shape[0]
    if not 0 < count < n - 1:
        msg = f"between 1 and {n - 2} modes can be found (got {count}); ask for fewer or refine the mesh."
        raise StructureError(msg)
    inverse = LinearOperator((n, n), matvec=factor.solve_unchecked, dtype=float)
    start = np.cos(np.arange(n))  # any fixed vector that holds a share of every mode
    squares, vectors = eigsh(factor.matrix, k=count, M=mass, sigma=0.0, OPinv=inverse, v0=start, tol=1e-9)
    order = np.argsort(squares)
    squares, vectors = squares[order], vectors[:, order]
    left = factor.matrix @ vectors - (mass @ vectors) * squares
    worst = float(np.abs(factor.solve_unchecked(left)).max() / np.abs(vectors).max())
    if not (squares[0] > 0 and worst < 1e-6):
        msg = f"the modes could not be found well enough (residual {worst:.1e})."
        raise StructureError(msg)
    return squares, vectors

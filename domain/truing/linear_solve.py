"""Small systems of linear equations, for the least squares fits."""

from __future__ import annotations

from collections.abc import Sequence

_SINGULAR = 1e-12

Matrix = Sequence[Sequence[float]]


class SingularError(ValueError):
    """The equations do not fix every unknown."""


def inverse(matrix: Matrix) -> list[list[float]]:
    """The inverse of a small square matrix.

    Formula: Gauss-Jordan elimination with partial pivoting; its entries should be of like size.
    Raises: SingularError where a pivot is below 1e-12 of the largest entry.
    Source: any textbook of linear algebra.

    >>> inverse([[2.0, 0.0], [0.0, 4.0]])
    [[0.5, 0.0], [0.0, 0.25]]
    """
    size = len(matrix)
    limit = _SINGULAR * max(abs(entry) for row in matrix for entry in row)
    rows = [[*map(float, row), *(float(i == j) for j in range(size))] for i, row in enumerate(matrix)]
    for column in range(size):
        best = max(range(column, size), key=lambda i: abs(rows[i][column]))
        if abs(rows[best][column]) <= limit:
            raise SingularError("the equations do not fix every unknown")
        rows[column], rows[best] = rows[best], rows[column]
        pivot = rows[column][column]
        rows[column] = [entry / pivot for entry in rows[column]]
        for i in range(size):
            if i != column:
                factor = rows[i][column]
                rows[i] = [a - factor * b for a, b in zip(rows[i], rows[column], strict=True)]
    return [row[size:] for row in rows]


def times(matrix: Matrix, vector: Sequence[float]) -> list[float]:
    """A matrix times a column.

    >>> times([[1.0, 2.0]], [3.0, 4.0])
    [11.0]
    """
    return [sum(m * v for m, v in zip(row, vector, strict=True)) for row in matrix]


def normal_matrix(design: Matrix) -> list[list[float]]:
    """The matrix of the normal equations of a least squares fit.

    Formula: A^T A, of one row of sensitivities for each observation.
    Source: Gauss's normal equations, any textbook of least squares.

    >>> normal_matrix([[1.0, 2.0], [1.0, 3.0]])
    [[2.0, 5.0], [5.0, 13.0]]
    """
    columns = list(zip(*design, strict=True))
    return [[sum(a * b for a, b in zip(one, two, strict=True)) for two in columns] for one in columns]

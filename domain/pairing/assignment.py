"""The assignment problem: one column for each row, at the least total cost, in exact whole numbers.

Rows are let in one at a time. A row that comes in may push another off its column, that one a third, and so
on until a free column is reached: a chain. Each row and column carries a price, such that no cell costs less
than its row's and column's prices together and a cell in use costs just as much. What a cell costs above its
prices is then never below zero, so the cheapest chain is a shortest path, found one nearest column at a time,
and with the prices raised along it everything stays as it was: the rows let in so far are placed at least cost.
"""

from collections.abc import Sequence

_NOWHERE = -1


def cheapest_assignment(costs: Sequence[Sequence[int]]) -> tuple[int, ...]:
    """Give each row a column of its own so that the costs add up to the least possible.

    Formula: least sum over the rows of costs[row][column of row], no column twice.
    costs: one row of whole numbers for each row, all of one length, with at least as many columns as rows;
    of any size and sign, without unit.
    Returns: for each row its column, counted from 0; which of several equally cheap ones depends on the order.
    Raises: ValueError when the rows differ in length or outnumber the columns.
    Source: H. W. Kuhn, The Hungarian method for the assignment problem, 1955; by shortest augmenting paths,
    R. Jonker and A. Volgenant, Computing 38, 1987. Work grows as rows x rows x columns.

    >>> cheapest_assignment([[4, 1, 3], [2, 0, 5], [3, 2, 2]])
    (1, 0, 2)
    """
    columns = len(costs[0]) if costs else 0
    if any(len(row) != columns for row in costs) or len(costs) > columns:
        raise ValueError("An assignment needs rows of one length, and at least as many columns as rows.")
    search = _Search(costs, columns)
    for row in range(len(costs)):
        search.let_in(row)
    return tuple(search.column_of)


class _Search:
    """The rows placed so far, and the prices that prove them cheapest."""

    def __init__(self, costs: Sequence[Sequence[int]], columns: int) -> None:
        self.costs = costs
        self.row_price = [0] * len(costs)
        self.column_price = [0] * columns
        self.column_of = [_NOWHERE] * len(costs)
        self.row_on = [_NOWHERE] * columns

    def let_in(self, start: int) -> None:
        """Place one more row, moving others where that is cheaper."""
        distance = [cost - price for cost, price in zip(self.costs[start], self.column_price, strict=True)]
        reached_by = [start] * len(distance)
        waiting, settled = list(range(len(distance))), list[int]()
        column = min(waiting, key=distance.__getitem__)
        while self.row_on[column] != _NOWHERE:
            waiting.remove(column)
            settled.append(column)
            row = self.row_on[column]
            for other in waiting:
                above = self.costs[row][other] - self.row_price[row] - self.column_price[other]
                if distance[column] + above < distance[other]:
                    distance[other] = distance[column] + above
                    reached_by[other] = row
            column = min(waiting, key=distance.__getitem__)
        self._reprice(start, settled, distance, distance[column])
        self._move_along(column, reached_by)

    def _reprice(self, start: int, settled: list[int], distance: list[int], reach: int) -> None:
        self.row_price[start] = reach
        for column in settled:
            self.row_price[self.row_on[column]] += reach - distance[column]
            self.column_price[column] -= reach - distance[column]

    def _move_along(self, column: int, reached_by: list[int]) -> None:
        """Walk the chain back from its free column; each row on it takes the column it reached."""
        while column != _NOWHERE:
            row = reached_by[column]
            self.row_on[column] = row
            column, self.column_of[row] = self.column_of[row], column

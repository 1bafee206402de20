"""Which systems a length is said in: the build's own and the other one, or the build's own only.

A sentence is made deep in the trade and shown far from there, and nobody cuts inside one. So how it is to be said
stands round the work that makes it, not in every call on the way. Whatever keeps sentences keeps them by it.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache
from typing import Generic, ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")

_both: ContextVar[bool] = ContextVar("both systems", default=True)
# Whether both systems are shown; by itself they are. Bound once, for it is asked of every length.
both_shown: Callable[[], bool] = _both.get


@contextmanager
def shown_in(*, both: bool) -> Iterator[None]:
    """Within the block lengths, forces and torques are said in both systems, or in the build's own only.

    >>> from domain.lengths import Unit, show
    >>> with shown_in(both=False):
    ...     show(19_050_000, Unit.MM)
    '19.050 mm'
    """
    before = _both.set(both)
    try:
        yield
    finally:
        _both.reset(before)


class KeptAsShown(Generic[P, R]):
    """A function whose results hold sentences, kept for the arguments as `lru_cache` does, and for how they are said."""

    def __init__(self, work: Callable[P, R], most: int) -> None:
        self._both = lru_cache(maxsize=most)(work)
        self._own = lru_cache(maxsize=most)(work)

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> R:
        """The result as it is to be said now."""
        kept = self._both if both_shown() else self._own
        return kept(*args, **kwargs)  # type: ignore[arg-type]

    def cache_clear(self) -> None:
        """Keep nothing of what was worked out before."""
        self._both.cache_clear()
        self._own.cache_clear()

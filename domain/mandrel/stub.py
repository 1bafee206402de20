"""How a wheel is held by its bore for the tread work, and how large the stub is for a bore and a hold."""

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import Any

from domain.answer import Answer
from domain.errors import TradeError
from domain.joints.bond import GapRange


class MandrelError(TradeError):
    """What cannot be held by a stub."""


class StubHold(StrEnum):
    """What holds the wheel while its tread is turned."""

    BOND = "bond"
    PUSH = "push"
    EXPANDING = "expanding"
    COLLET = "collet"
    CENTRES = "centres"
    SPIGOT = "spigot"

    @property
    def turned(self) -> bool:
        """Whether a stub is turned to a size for it; between centres the wheel sits on its own axle."""
        return self is not StubHold.CENTRES

    @property
    def cures(self) -> bool:
        """Whether it holds by a compound, and so by the hour."""
        return self is StubHold.BOND

    @property
    def centred(self) -> bool:
        """Whether the tailstock's centre carries its far end; a wheel clamped to the faceplate needs none."""
        return self is not StubHold.SPIGOT


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads(files("domain").joinpath("tables", "mandrel.toml").read_text(encoding="utf-8"))


@dataclass(frozen=True)
class StubSize:
    """The least and the most that a stub may measure, nm on the diameter, and who says so."""

    least_nm: int
    most_nm: int
    source: str

    @property
    def aim_nm(self) -> int:
        """The size in the middle."""
        return (self.least_nm + self.most_nm) // 2


def stub_size(hold: StubHold, bore_nm: int, gap: GapRange, unsure_nm: int = 0) -> StubSize | None:
    """The size of the stub for a measured bore.

    Formula: bore - most under it + U <= stub <= bore - least under it - U; for a bond what is under it is the compound's
    gap. Where U is more than half of the range, only its middle is left.
    bore_nm: as measured, nm, above 0. gap: the compound's. unsure_nm: the bore's expanded uncertainty U, nm, 0 or more.
    Returns: None for a hold without a stub of its own.
    Raises: MandrelError, field "bore", on a bore that is no larger than what is under it.
    Source: the compound's data sheet; for the other holds common practice, tables/mandrel.toml.

    >>> found = stub_size(StubHold.BOND, 19_080_000, GapRange(20_000, 50_000, 100_000, "data sheet"))
    >>> found.least_nm, found.aim_nm, found.most_nm
    (19030000, 19045000, 19060000)
    """
    if not hold.turned:
        return None
    if hold.cures:
        under, source = (gap.least_nm, gap.most_nm), gap.source
    else:
        row = _table()["under"][hold.value]
        under, source = (row["least_nm"], row["most_nm"]), _table()["under"]["source"]
    least, most = bore_nm - under[1] + unsure_nm, bore_nm - under[0] - unsure_nm
    if least > most:
        least = most = bore_nm - sum(under) // 2
    if least <= 0:
        raise MandrelError("The bore is too small for a stub: measure it again.", "bore")
    return StubSize(least, most, source)


def stub_for_all(sizes: Iterable[StubSize]) -> StubSize | None:
    """The sizes that one stub may have for every wheel that is to go over it; None where no size suits all.

    Formula: the largest least to the smallest most.

    >>> one, two = StubSize(19_030, 19_060, "a"), StubSize(19_050, 19_080, "a")
    >>> stub_for_all([one, two])
    StubSize(least_nm=19050, most_nm=19060, source='a')
    >>> stub_for_all([one, StubSize(19_070, 19_080, "a")]) is None
    True
    """
    found = list(sizes)
    if not found:
        return None
    least, most = max(one.least_nm for one in found), min(one.most_nm for one in found)
    return StubSize(least, most, found[0].source) if least <= most else None


def goes_on(stub_nm: int, bore_nm: int) -> bool:
    """Whether a stub goes into a bore at all.

    >>> goes_on(19_080_000, 19_080_000), goes_on(19_081_000, 19_080_000)
    (True, False)
    """
    return stub_nm <= bore_nm


def run_out_answer(swing_nm: int | None, allowed_nm: int, *, put_back: bool) -> Answer:
    """Whether a stub runs true enough to be used.

    Formula: good where the dial swings no more than is allowed; a stub put back, or never tried, cannot be told of.
    swing_nm: what the dial swings in a whole turn, nm, 0 or more; None where it was not read. allowed_nm: nm, above 0.
    Source: the tolerance of setting true; one taken out and put back runs out: common practice, no source.

    >>> run_out_answer(10_000, 100_000, put_back=False), run_out_answer(10_000, 100_000, put_back=True).words
    (<Answer.SERVES: 'serves'>, 'cannot tell')
    """
    if swing_nm is None or put_back:
        return Answer.CANNOT_TELL
    return Answer.SERVES if swing_nm <= allowed_nm else Answer.NOT


def round_nose_nm(torque_nm: float) -> tuple[float, float]:
    """What a round-nosed tool asks where a square edge asks this torque, at least and at most; N m.

    Source: tables/mandrel.toml, common practice.

    >>> [round(one, 1) for one in round_nose_nm(3.0)]
    [3.6, 4.2]
    """
    row = _table()["round_nose"]
    return torque_nm * row["least"], torque_nm * row["most"]


def round_nose_source() -> str:
    """Who says what a round nose asks."""
    return str(_table()["round_nose"]["source"])

"""A wheel set on its rails: to one scale, every dimension between the very places it names."""

import re

import pytest

from webapp.sheets.treads.drawing_set import WIDTH, GaugeSaid, SetDrawn, wheel_set

MM = 1_000_000
OVER = ((False, False), (True, True), (True, False), (False, True))


def test_every_gauge_is_dimensioned_between_its_own_places() -> None:
    drawn = SetDrawn(89 * MM, 83 * MM, (2 * MM, 3 * MM), 2 * MM, 10 * MM, (True, False))
    picture = wheel_set(drawn, [GaugeSaid(over, f"{over}", "") for over in OVER], "rails")
    spans = []
    for one in picture.measures:
        xs = [float(x) for x in re.findall(r"([\d.]+) [\d.]+", one.line)]
        spans.append((min(xs) - WIDTH / 2, max(xs) - WIDTH / 2))
    scale = (spans[0][1] - spans[0][0]) / 83
    # 41.5 to a back, 2 more over the left flange, 3 over the right one; the rails' heads lie 44.5 out.
    wanted = [(-41.5, 41.5), (-43.5, 44.5), (-43.5, 41.5), (-41.5, 44.5), (-44.5, 44.5)]
    for (left, right), (one, two) in zip(spans, wanted, strict=True):
        assert (left / scale, right / scale) == pytest.approx((one, two), abs=0.03)
    assert [tyre.known for tyre in picture.tyres] == [True, False]
    for d in (*(tyre.d for tyre in picture.tyres), *picture.rails):
        assert all(0 <= float(x) <= WIDTH for x in re.findall(r"(-?[\d.]+) -?[\d.]+", d))

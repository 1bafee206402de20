"""Every size that is advised, against the one judge afterwards, at both ends of all that is unsure."""

from dataclasses import dataclass, replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from domain.answer import Answer
from domain.joints.demand import Pistons, Turned, seat_demand
from domain.joints.fit import NO_MARGIN, Ends, Margin, bore_window, fit_of, safe_window, seat_window
from domain.joints.friction import friction
from domain.joints.held import force, gripping_interference_nm
from domain.joints.judge import Case, Finding, Load, judge
from domain.joints.kinds import FitKind, Kind
from domain.joints.margin import Short, TooNarrow, best_aim, margins, too_narrow
from domain.joints.materials import iron
from domain.joints.remedies import remedies_for
from domain.joints.roughness import Roughness, editions
from domain.joints.terms import BondedJoint, BondSheet, ForcedJoint, HeldBy, Joint, Size, uncertainty_nm
from domain.joints.words import no_fit_to_aim_for
from domain.lengths import Unit
from domain.measuring.uncertainty import Budget

IRONS = ["en-gjl-150", "en-gjl-200", "en-gjl-250", "a48-20", "a48-30"]


@dataclass(frozen=True)
class Bench:
    """A bore that is there, what it is to be fitted by, and how surely bore and seat are known."""

    joint: Joint
    holding: HeldBy
    load: Load
    bore_nm: int
    bore_u: int
    seat_u: int

    @property
    def unsure_nm(self) -> int:
        return uncertainty_nm(Size(0, self.bore_u), Size(0, self.seat_u))

    @property
    def margins(self) -> tuple[Margin, ...]:
        return margins(self.holding, self.load, self.unsure_nm)

    def judged(self, bore_nm: int, seat_nm: int, unsure: bool) -> Finding:
        """What the one judge finds once both are made: measured with their uncertainties, or as exact sizes."""
        bore_u, seat_u = (self.bore_u, self.seat_u) if unsure else (0, 0)
        bore, seat = _size(bore_nm, bore_u), _size(seat_nm, seat_u)
        holding = replace(self.holding, seat_nm=seat_nm)
        return judge(Case(self.joint, bore, seat, holding, self.load, Unit.MM))


def _size(nm: int, expanded: int) -> Size:
    return Size(nm, expanded, budget=Budget(nm, 1, expanded / 2, 0.0, 0.0, 0.0, None))


@st.composite
def benches(draw: st.DrawFn, kinds: tuple[FitKind, ...] = tuple(FitKind)) -> Bench:
    kind, iron_key = draw(st.sampled_from(kinds)), draw(st.sampled_from(IRONS))
    bore = draw(st.integers(8_000_000, 30_000_000))
    boss, length = round(bore * draw(st.floats(1.4, 3.5))), draw(st.integers(6_000_000, 30_000_000))
    least = draw(st.integers(2_000, 25_000))
    most = least + draw(st.integers(0, 40_000))
    hollow = draw(st.sampled_from([0, 0, bore // 3]))
    factor = draw(st.sampled_from([1.0, 2.0, 3.0]))
    joint = Joint(kind, bore, bore, boss, length, least, most, iron_key, factor, axle_bore_nm=hollow)
    light = Turned.CARRYING if kind is FitKind.BOND or draw(st.booleans()) else Turned.DRIVEN
    newtons = 0.0 if kind is FitKind.BOND else draw(st.floats(0, 1_000))
    demand = seat_demand(light, newtons, 100_000_000, pistons=Pistons(newtons, 25_000_000, 125_000_000))
    load = Load(
        demand, draw(st.sampled_from([1.0, 1.5, 3.0])), "typed", draw(st.sampled_from([(), ("load",)]))
    )
    if kind is FitKind.BOND:
        gap = replace(joint.gap, least_nm=least, most_nm=most, limit_nm=max(most, joint.gap.limit_nm))
        holding: HeldBy = BondedJoint(bore, length, BondSheet(20.0, gap=gap))
    else:
        rough = Roughness(*(draw(st.sampled_from([0, 1_600, 6_300])) for _ in range(2)))
        oil = friction(kind, "oiled")
        holding = ForcedJoint(
            kind, bore, boss, length, iron(iron_key), oil, roughness=rough, edition=draw(st.sampled_from(editions())),
            factor_wanted=factor, wanted_nm=(least, most), axle_bore_nm=hollow,
        )  # fmt: skip
    doubts = st.sampled_from([0, 1_000, 3_000, 6_000])
    return Bench(joint, holding, load, bore, draw(doubts), draw(doubts))


def _safe(bench: Bench, bore: int, seat: int) -> None:
    """Judged as measured with their uncertainties, and as exact sizes at both ends of these."""
    found = bench.judged(bore, seat, unsure=True)
    assert found.answer is not Answer.NOT, found.kind
    inside = bench.joint.most_nm - bench.joint.least_nm >= 2 * bench.unsure_nm
    if bench.joint.kind is FitKind.BOND and not inside:
        return  # no seat is sure of its gap then: the judge says that it cannot be told
    # A made up load asks nothing of a size.
    if not bench.load.invented or found.kind not in (Kind.HOLD_NOT_TOLD, Kind.HOLDS_BY_GUESS):
        assert found.answer is not Answer.CANNOT_TELL, found.kind
    for off in (-bench.unsure_nm, bench.unsure_nm):
        exact = bench.judged(bore + off, seat, unsure=False)
        assert exact.answer is not Answer.NOT, (off, exact.kind)


@given(benches(), st.sampled_from(Unit))
def test_every_advised_seat_is_judged_safe_at_both_ends_of_everything(bench: Bench, unit: Unit) -> None:
    advised = [seat_window(bench.joint, bench.bore_nm, unit, one) for one in bench.margins]
    assume(any(advised))
    for window in filter(None, advised):
        for seat in {window[0], sum(window) // 2, window[1]}:
            _safe(bench, bench.bore_nm, seat)


@given(benches(), st.sampled_from(Unit))
def test_every_advised_bore_is_judged_safe_at_both_ends_of_everything(bench: Bench, unit: Unit) -> None:
    seat = bench.bore_nm
    advised = [bore_window(bench.joint, seat, unit, one) for one in bench.margins]
    assume(any(advised))
    for window in filter(None, advised):
        for bore in {window[0], sum(window) // 2, window[1]}:
            _safe(bench, bore, seat)


@given(benches(), st.sampled_from(Unit), st.integers(-80_000, 80_000))
def test_every_size_a_way_out_names_is_judged_safe_at_both_ends_of_everything(
    bench: Bench, unit: Unit, miss: int
) -> None:
    seat = bench.bore_nm + miss
    assume(seat < bench.joint.boss_diameter_nm)
    fit = fit_of(bench.joint, bench.bore_nm, seat)
    ways = [
        (one.key, one.window_nm)
        for one in remedies_for(fit, unit, margin=bench.margins[-1])
        if one.key in ("turn_seat", "bore_out") and one.window_nm
    ]
    assume(ways)
    for key, window in ways:
        for size in window:
            _safe(bench, *((bench.bore_nm, size) if key == "turn_seat" else (size, seat)))


@given(benches(), st.sampled_from(Unit), st.integers(0, 15_000), st.integers(0, 15_000))
def test_a_seat_that_was_aimed_at_and_met_is_judged_good_at_the_ends_of_its_bore_too(
    bench: Bench, unit: Unit, under: int, over: int
) -> None:
    """The judge takes the smallest and the largest reading of the bore: so must the size that is asked for."""
    assume(not bench.load.invented)
    alone = uncertainty_nm(Size(0, bench.bore_u), Size(0, bench.seat_u))
    known = [replace(one, spread=Ends(under, over, alone)) for one in bench.margins]
    aim = best_aim(known, lambda one: seat_window(bench.joint, bench.bore_nm, unit, one), 2_000)
    assume(aim is not None and (bench.joint.kind is not FitKind.BOND or _fits(bench, under + over)))
    assert aim is not None
    for seat in {aim.window[0], sum(aim.window) // 2, aim.window[1]}:
        bore = replace(
            _size(bench.bore_nm, bench.bore_u), ends_nm=(bench.bore_nm - under, bench.bore_nm + over)
        )
        case = Case(
            bench.joint,
            bore,
            _size(seat, bench.seat_u),
            replace(bench.holding, seat_nm=seat),
            bench.load,
            unit,
        )
        found = judge(case)
        assert found.answer is not Answer.NOT, (aim.short, found.kind)
        if aim.short is Short.NOTHING:
            assert found.answer is Answer.SERVES, found.kind


def _fits(bench: Bench, wide: int) -> bool:
    return bench.joint.most_nm - bench.joint.least_nm >= wide + 2 * bench.unsure_nm


def test_a_bore_that_no_range_holds_all_along_has_a_best_seat_with_care() -> None:
    # 9 um are wanted from least to most and the readings lie 10 apart: 21.980 to 21.990.
    joint = Joint(FitKind.PRESS, 22_000_000, 22_000_000, 44_000_000, 32_000_000, 9_000, 18_000, "en-gjl-200")
    margin = Margin(0, 0, Ends(6_667, 3_333))
    aim = best_aim([margin], lambda one: seat_window(joint, 21_986_667, Unit.MM, one), 2_000)
    assert aim is not None and aim.short is Short.RANGE
    # At the largest reading 9 um at least: 21.999; at the smallest what the boss stands at a factor of 2, 26.9 um.
    assert aim.window == (21_999_000, 22_006_000)
    for seat in aim.window:
        for bore in (21_980_000, 21_990_000):
            assert fit_of(joint, bore, seat).kind.answer is not Answer.NOT


def test_a_seat_is_no_longer_advised_right_up_to_what_the_boss_stands() -> None:
    # A press fit of 5 to 40 um in a boss that stands less than 40: what bore and seat leave open comes off both ends.
    joint = Joint(FitKind.PRESS, 15_000_000, 15_000_000, 32_000_000, 14_000_000, 5_000, 40_000, "en-gjl-250")
    exact, unsure = (seat_window(joint, 15_000_000, Unit.MM, one) for one in (NO_MARGIN, Margin(4_000)))
    assert exact == (15_005_000, 15_022_000)
    assert unsure == (15_009_000, 15_018_000)
    for seat in exact:
        assert force(_forced(seat), seat - 15_000_000, 0).kind is not Kind.CRACKS
    assert force(_forced(exact[1]), exact[1] - 15_000_000, 4_000).kind is Kind.CRACKS
    assert force(_forced(unsure[1]), unsure[1] - 15_000_000, 4_000).kind is not Kind.CRACKS


def _forced(seat: int) -> ForcedJoint:
    oil = friction(FitKind.PRESS, "oiled")
    return ForcedJoint(FitKind.PRESS, seat, 32_000_000, 14_000_000, iron("en-gjl-250"), oil)


@given(st.floats(0, 40), st.sampled_from([0, 6_300]))
def test_the_gripping_interference_is_the_last_that_holds(torque: float, rz: int) -> None:
    joint = replace(_forced(15_000_000), roughness=Roughness(rz, rz))
    least = gripping_interference_nm(joint, torque)
    assert force(joint, least).measured.torque_nm >= torque
    if torque > 1e-3:
        assert force(joint, least - 3).measured.torque_nm < torque


# --- no fit to aim for ---

NARROW = Joint(FitKind.PRESS, 15_000_000, 15_000_000, 32_000_000, 14_000_000, 18_000, 40_000, "en-gjl-250")


def test_a_window_narrower_than_the_bores_spread_or_the_instrument_tells_is_none_to_aim_for() -> None:
    # The boss stands 22.529 um at a factor of 2 and 18 are wanted: 4.529 um are left.
    assert safe_window(NARROW, 15_000_000) == (18_000, 22_529)
    found = too_narrow(NARROW, 15_000_000, NO_MARGIN, 4_530)
    assert found == TooNarrow(FitKind.PRESS, 4_529, 4_530, None)
    assert too_narrow(NARROW, 15_000_000, NO_MARGIN, 4_529) is None
    assert too_narrow(NARROW, 15_000_000, NO_MARGIN, None) is None
    assert too_narrow(NARROW, 15_000_000, Margin(2_264), None) is None
    assert too_narrow(NARROW, 15_000_000, Margin(2_265), None) == TooNarrow(FitKind.PRESS, 4_529, None, 2_265)
    assert too_narrow(replace(NARROW, kind=FitKind.BOND), 15_000_000, Margin(99_000), 99_000) is None
    # A window that the load has closed is not narrow, it is none.
    assert too_narrow(NARROW, 15_000_000, Margin(0, 30_000), 5_000) is None


def test_it_says_so_with_both_figures_and_names_the_bond() -> None:
    found = too_narrow(NARROW, 15_000_000, Margin(3_000), 12_000)
    assert found is not None
    assert no_fit_to_aim_for(found, Unit.MM) == (
        "No press fit to aim for: only 0.005 mm (0.0002 in) of interference is safe between too little and too much, and"
        " your bores spread 0.012 mm (0.0005 in) and bore and seat together are known to 0.003 mm (0.0001 in) either way."
        " Bond it."
    )


@pytest.mark.parametrize("kind", [FitKind.PRESS, FitKind.SHRINK])
def test_no_invented_load_closes_a_window(kind: FitKind) -> None:
    demand = seat_demand(Turned.DRIVEN, 900, 130_000_000, pistons=Pistons(9_000, 25_000_000, 125_000_000))
    holding = replace(_forced(15_000_000), kind=kind)
    own, invented = (margins(holding, Load(demand, 1.5, "", one), 0) for one in ((), ("load",)))
    assert [one.grip_nm for one in invented] == [1]
    assert own[0].grip_nm > own[1].grip_nm > 1

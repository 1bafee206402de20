"""The stub that a build's treads are turned on: which wheel is on it, what its bond holds, and what came off it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from domain.joints.bond import DEFAULT_GAP, GapRange
from domain.joints.held import Bonded, glue
from domain.joints.kinds import FitError
from domain.route.set_ups import SetUp
from domain.route.stages import Route, Stage
from webapp.facts.joint_terms import bond_sheet, bonded_joint, figures_of
from webapp.facts.work_figures import work_figures
from webapp.records.stubs import StubTurnView, StubView
from webapp.records.views import BuildView, CastingView


@cache
def on_mandrel(route: Route) -> bool:
    """Whether a route turns its treads on a mandrel."""
    return any(one.used_on(route) for one in (SetUp.MANDREL, SetUp.BACK_ON_MANDREL))


def present_stub(build: BuildView) -> StubView | None:
    """The stub that is in use; None where none was turned yet."""
    return next((one for one in reversed(build.stubs) if not one.ended), None)


def on_stub(build: BuildView, casting: CastingView) -> tuple[StubView, StubTurnView] | None:
    """The stub a wheel is on now, with its turn; a wheel that is on its axle is on none."""
    if casting.has(Stage.PRESSED):
        return None
    found = ((stub, stub.on) for stub in build.stubs)
    return next(((stub, turn) for stub, turn in found if turn and turn.casting_id == casting.id), None)


def last_turn(build: BuildView, casting: CastingView) -> tuple[StubView, StubTurnView] | None:
    """A wheel's last turn on any stub."""
    found = [(stub, turn) for stub in build.stubs for turn in stub.turns if turn.casting_id == casting.id]
    return max(found, key=lambda one: one[1].id, default=None)


def to_gauge_again(build: BuildView, casting: CastingView) -> bool:
    """Whether a wheel came off its stub after its bore was last gauged: what is read next is no correction."""
    last = last_turn(build, casting)
    if last is None or last[1].off_at is None or casting.bore is None:
        return False
    return casting.bore.at <= last[1].off_at


def gap_of(build: BuildView) -> GapRange:
    """The gap that the build's compound wants; the placeholder's where the build's figures do not hold together."""
    try:
        return bond_sheet(figures_of(build)).gap
    except FitError:
        return DEFAULT_GAP


def stub_bond(build: BuildView, stub: StubView, casting: CastingView) -> Bonded | None:
    """What the compound between a stub and a wheel comes to; None without a compound, a bore, or figures to go by."""
    if not stub.hold.cures or stub.nm is None or casting.bore is None:
        return None
    try:
        figures = figures_of(build)
        joint = bonded_joint(figures, stub.nm, build.of(casting).nm("boss_length"))
        # A tread is turned at the warmth of the shop, not of an engine in steam.
        return glue(replace(joint, hottest_c=20.0), casting.bore.nm - stub.nm, casting.bore.expanded_nm or 0)
    except FitError:
        return None


def allowed_swing_nm(build: BuildView) -> int:
    """What the dial may swing on a stub: as on a wheel that is set true, twice how far off the middle it may be."""
    return 2 * work_figures(build).nm("true_within")

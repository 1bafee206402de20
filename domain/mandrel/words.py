"""What is said of the mandrel: the hold, the stub's size and run-out, the cut it takes now, and the bore afterwards."""

from collections.abc import Mapping
from datetime import datetime, timedelta

from domain.answer import Answer
from domain.joints.cure import CutHold
from domain.lengths import Unit, show, show_in, show_small
from domain.lengths.loads import show_torque
from domain.lengths.showing import figure_in
from domain.mandrel.grown import Compared, Growth
from domain.mandrel.stub import StubHold, StubSize, round_nose_nm, round_nose_source
from domain.working import Working

HOLDS: Mapping[StubHold, str] = {
    StubHold.BOND: "bonded on the stub",
    StubHold.PUSH: "a light push fit, with nut and washer",
    StubHold.EXPANDING: "on an expanding mandrel",
    StubHold.COLLET: "on a split stub, opened like a collet",
    StubHold.CENTRES: "between centres on its axle, driven through the spokes",
    StubHold.SPIGOT: "clamped to the faceplate, on a spigot",
}
# The one that stands where the work is; the others a tap away.
CAUTION = "Heat lets a bond go: burns and fumes. Never drive a wheel off in the spindle's bearings."
CAUTIONS = (
    "A bond that has set lets go towards 250 C: gloves, air, and no oil, swarf or cleaner near that burns.",
    "Pull the wheel off while it is hot. Never drive it off in the spindle's bearings: if it sticks, take the stub out.",
    "A wheel that slips on its stub jams the tool: chalk a line over boss and stub, and begin with a light cut.",
    "The tailstock barrel stays on the wheel until the bond may be handled; the running centre goes in before the power.",
    "Chuck key out; turn the work by hand clear of the bed before the power.",
    "Iron dust is bad for lungs and slideways; wear eye protection.",
    "Compound and its cleaner: follow their safety data sheets, ventilate, keep them off the skin.",
    "This program advises; you, local codes and a competent person decide.",
)


def hold_words(hold: StubHold) -> str:
    """How the wheel is held, after its mark."""
    return HOLDS[hold]


def stub_words(hold: StubHold, nm: int | None, unit: Unit) -> str:
    """A stub that was made: its size where it has one, and how it holds.

    >>> stub_words(StubHold.BOND, 19_045_000, Unit.MM)
    'stub of 19.045 mm (0.7498 in), bonded on the stub'
    """
    return f"stub of {show(nm, unit)}, {HOLDS[hold]}" if nm is not None else HOLDS[hold]


def size_words(size: StubSize | None, unit: Unit) -> str:
    """What to turn the stub to.

    >>> size_words(StubSize(19_030_000, 19_060_000, "data sheet"), Unit.MM)
    'Turn the stub to 19.045 mm (0.7498 in): from 19.030 mm (0.7492 in) to 19.060 mm (0.7504 in) will do (data sheet).'
    """
    if size is None:
        return "No stub to turn: the wheel sits on its own axle, held by its joint and driven through the spokes."
    if figure_in(size.least_nm, unit) == figure_in(size.most_nm, unit):
        return f"Turn the stub to {show(size.aim_nm, unit)} ({size.source})."
    ends = f"from {show(size.least_nm, unit)} to {show(size.most_nm, unit)} will do"
    return f"Turn the stub to {show(size.aim_nm, unit)}: {ends} ({size.source})."


def size_brief(size: StubSize | None, unit: Unit) -> str:
    """The stub's size beside a hold to choose.

    >>> size_brief(StubSize(19_030_000, 19_060_000, "data sheet"), Unit.MM)
    'stub of 19.030 to 19.060 mm'
    """
    if size is None:
        return "no stub: its own axle carries it"
    least, most = figure_in(size.least_nm, unit), show_in(size.most_nm, unit)
    return f"stub of {most}" if least == figure_in(size.most_nm, unit) else f"stub of {least} to {most}"


def all_words(size: StubSize | None, count: int, unit: Unit) -> str:
    """Whether one stub suits every bore that is logged; empty for a single one."""
    if count < 2:
        return ""
    if size is None:
        return f"No one size suits all {count} bores logged: begin with the largest bore, and skim the stub for the next."
    alike = figure_in(size.least_nm, unit) == figure_in(size.most_nm, unit)
    ends = show(size.aim_nm, unit) if alike else f"{show(size.least_nm, unit)} to {show(size.most_nm, unit)}"
    return f"One stub of {ends} suits all {count} bores logged."


def too_large_words(nm: int, bore_nm: int, mark: str, unit: Unit) -> str:
    """Why a stub does not go into a wheel."""
    return (
        f"A stub of {show(nm, unit)} does not go into the bore of {mark}, {show(bore_nm, unit)}:"
        f" it is {show_small(nm - bore_nm, unit)} too large."
    )


def run_out_words(
    answer: Answer, swing_nm: int | None, allowed_nm: int, unit: Unit, *, put_back: bool
) -> str:
    """How the stub runs, in a sentence or two.

    >>> run_out_words(Answer.SERVES, 10_000, 100_000, Unit.MM, put_back=False)
    'Good: the stub runs out 0.010 mm (0.0004 in) by the dial, 0.100 mm (0.0039 in) is allowed.'
    """
    allowed = f"{show_small(allowed_nm, unit)} is allowed"
    if put_back:
        return "Cannot tell: the stub was taken out and put back, so it is doubted until its run-out is logged again."
    if swing_nm is None:
        return f"Cannot tell: the stub's run-out is not logged yet; {allowed}."
    said = f"the stub runs out {show_small(swing_nm, unit)} by the dial, {allowed}"
    if answer is Answer.SERVES:
        return f"Good: {said}."
    return f"No good: {said}. Skim it if it is large enough, or turn a new one rather than trust it."


def cut_line(found: CutHold, unit: Unit, until: str = "") -> str:
    """Whether the stub takes a cut now, in a line; `until` is when it will, where it does not yet.

    >>> cut_line(CutHold(5.9, 90.0, 90.0, None), Unit.MM)
    'good now: it asks 5.9 N m (4.4 lbf ft) with its reserve, and 90.0 N m (66.4 lbf ft) is held'
    """
    asks = f"it asks {show_torque(found.asked_nm, unit)} with its reserve"
    if found.never:
        then = f"{asks}, and {show_torque(found.full_nm, unit)} is held then"
        return f"no good, not even fully cured: {then}; take a lighter cut, or hold the wheel another way"
    tail = f"{asks}, and {show_torque(found.holds_nm, unit)} is held"
    if found.takes:
        return f"good now: {tail}"
    return f"not before {until}: {tail}; or take a lighter cut"


def no_stub_words(route: str) -> str:
    """Why a wheel whose tread is turned on its own axle goes on no stub.

    >>> no_stub_words("fitted first")
    "By this build's route, fitted first, its tread is turned on its own axle."
    """
    return f"By this build's route, {route}, its tread is turned on its own axle."


def no_figure_words(hold: StubHold) -> str:
    """Why it cannot be told which cut a hold without a compound takes."""
    what = "the driver's and the joint's" if hold is StubHold.CENTRES else "a screw's or a wedge's"
    return (
        f"Cannot tell which cut it takes: no figure is held for {what} grip."
        " Chalk a line over boss and stub, begin with a light cut, and look at the line after it."
    )


def cut_working(name: str, torque_nm: float, found: CutHold, radius_nm: int, unit: Unit) -> Working:
    """How what a cut asks of the stub was worked out."""
    least, most = (show_torque(one, unit) for one in round_nose_nm(torque_nm))
    return Working(
        f"{name} cut",
        "T = Fc r at the flange, asked = reserve x T; held = share at this hour x full",
        f"r {show(radius_nm, unit)}, T {show_torque(torque_nm, unit)}; a round nose {least} to {most}, within the reserve",
        f"asks {show_torque(found.asked_nm, unit)}, holds {show_torque(found.holds_nm, unit)}"
        f" of {show_torque(found.full_nm, unit)}",
        f"force times lever; {round_nose_source()}; shares and reserve: tables/cure.toml, placeholders",
    )


def grown_words(found: Compared, unit: Unit) -> str:
    """Whether the hole has grown, by the readings before and after.

    >>> grown_words(Compared(12_000, 8_486, Growth.GROWN), Unit.MM)
    'Take care: the hole has grown by 0.012 mm (0.0005 in), give or take 0.008 mm (0.0003 in).'
    """
    size = show_small(abs(found.difference_nm), unit)
    sure = "" if found.expanded_nm is None else f", give or take {show_small(found.expanded_nm, unit)}"
    if found.change is Growth.GROWN:
        return f"Take care: the hole has grown by {size}{sure}."
    if found.change is Growth.SMALLER:
        return f"Take care: the hole reads smaller by {size}{sure}: clean the last of the compound out and gauge it again."
    which = "larger" if found.difference_nm > 0 else "smaller"
    read = f"it reads {size} {which}{sure}" if found.difference_nm else f"it reads the same{sure}"
    if found.change is Growth.SAME:
        return f"Good: the hole has not grown that these readings could tell; {read}."
    return f"Cannot tell whether the hole has grown: {read}, and how sure a reading is, is known with an instrument only."


def moment(at: datetime, now: datetime) -> str:
    """A time at the bench, with its day where that is not today; both in the zone to say it in.

    >>> moment(datetime(2026, 5, 3, 21, 5), datetime(2026, 5, 4, 8, 0))
    '3 May, 21:05'
    """
    return f"{at:%H:%M}" if at.date() == now.date() else f"{at.day} {at:%B}, {at:%H:%M}"


def moment_from(at: datetime, now: datetime) -> str:
    """A time from when something may be done: never a minute early.

    >>> moment_from(datetime(2026, 5, 3, 21, 5, 1), datetime(2026, 5, 3, 20, 0))
    '21:06'
    """
    begun = at.second or at.microsecond
    return moment(at.replace(second=0, microsecond=0) + timedelta(minutes=1) if begun else at, now)

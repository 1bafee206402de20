"""Setting true, in words that cannot be taken two ways."""

from __future__ import annotations

from collections.abc import Sequence

from domain.lengths import NM_PER_MM, Unit, show, show_small
from domain.truing.by_eye import EyeMove, Look, Seen, Since
from domain.truing.dial import Dial
from domain.truing.rounds import AMISS, Convergence, PairShare, Trend
from domain.truing.setting import Advice, Grip, JawMove, Stop, Surface
from domain.truing.wobble import Wobble

CAUTIONS = (
    "Lathe stopped, out of gear, and turned by hand only: take the chuck key out every time you let go of it.",
    "Slacken one pair a little at a time, never all four: the work must not be able to drop.",
    "Before any cut: all four jaws tight, read once more, and turn a full circle by hand to see that all goes clear.",
)

_LONG_MOVE_NM = NM_PER_MM
# Parts of a turn that a hand can judge on a square key.
_PARTS = {
    1 / 8: "an eighth of a turn",
    1 / 6: "a sixth of a turn",
    1 / 4: "a quarter turn",
    1 / 3: "a third of a turn",
    3 / 8: "three eighths of a turn",
    1 / 2: "half a turn",
    5 / 8: "five eighths of a turn",
    2 / 3: "two thirds of a turn",
    3 / 4: "three quarters of a turn",
    7 / 8: "seven eighths of a turn",
    1.0: "one turn",
}
_MOST_OF_ONE_TURN = 1.0625
GRIP = {
    Grip.ON_OUTSIDE: "The jaws close on the outside here: tighten means winding a jaw in, towards the middle of the chuck;"
    " slacken means winding it out.",
    Grip.ON_INSIDE: "The jaws press outwards inside the rim here: tighten means winding a jaw OUT, against the rim;"
    " slacken means winding it in, towards the middle of the chuck.",
}
_DONE = {
    Stop.TRUE: "It is true enough: go on.",
    Stop.SHAPE: "The middle is right: what is left is the casting's own shape, so stop here.",
    Stop.ROUGHNESS: "What is left cannot be told from the casting's roughness: stop here.",
    Stop.DIAL: "What is left is less than the dial can show: stop here.",
}
_GENERAL = {
    Trend.FIRST: "Make the moves, then read all the spots again to see whether they did what they should.",
    Trend.BETTER: "It is coming true: make the next moves.",
    Trend.NOT_MOVED: "The last round asked for no move, yet it is off now: the work has slipped or was knocked."
    " See that all four jaws are tight, then read again.",
}


def spot_words(angle_deg: float) -> str:
    """Where a spot is, told from the jaws in whole degrees.

    >>> spot_words(120.2), spot_words(359.8), spot_words(300)
    ('30 degrees past jaw 2 towards jaw 3', 'jaw 1', '30 degrees past jaw 4 towards jaw 1')
    """
    whole = round(angle_deg) % 360
    jaw, past = whole // 90 + 1, whole % 90
    return f"{past} degrees past jaw {jaw} towards jaw {jaw % 4 + 1}" if past else f"jaw {jaw}"


# ---- A round on the edge --------------------------------------------------------------------------


def lies_words(advice: Advice) -> str:
    """How far the dial swings, and where the work lies."""
    swings = f"The dial {swing(advice.tir_nm, advice.dial.unit)}."
    if not advice.eccentricity_nm:
        return f"{swings} The work lies in the middle."
    return f"{swings} The work lies towards {spot_words(advice.direction_deg)}."


def swing(nm: int, unit: Unit) -> str:
    """The one figure that says how true a thing runs, by its one name.

    >>> swing(700_000, Unit.MM)
    'swings 0.700 mm (0.0276 in) in a whole turn'
    """
    return f"swings {show_small(nm, unit)} in a whole turn"


def after_words(advice: Advice) -> tuple[str, ...]:
    """What follows the moves: the pairs that stay, and what to read next; nothing where there are none."""
    if advice.stop:
        return ()
    moved = {move.pair[0] for move in advice.moves}
    left = [pair for first, pair in ((1, "1 and 3"), (2, "2 and 4")) if first not in moved]
    return (*(f"Jaws {pair}: leave them as they are." for pair in left), _next(advice))


def move_words(move: JawMove, dial: Dial) -> str:
    """One pair of jaws, in one sentence for the hands and one for the eye.

    >>> from domain.lengths import Unit
    >>> move = JawMove(3, 1, 120_000, 12.0, 0.03, 1, -120_000, 350_000)
    >>> print(move_words(move, Dial(10_000, Unit.MM)))
    Jaws 1 and 3: turn jaw 1 under the plunger. Slacken jaw 3, then tighten jaw 1, until the dial at jaw 1 \
has gone down by 0.120 mm (0.0047 in), 12 divisions: wind until it reads 0.350 mm (0.0138 in). \
That is about 11 degrees of the key.
    """
    low, high = move.pair
    way = "down" if move.dial_change_nm < 0 else "up"
    text = (
        f"Jaws {low} and {high}: turn jaw {move.watch} under the plunger."
        f" Slacken jaw {move.slacken}, then tighten jaw {move.tighten}, until the dial at jaw {move.watch}"
        f" has gone {way} by {show_small(move.by_nm, dial.unit)}, {_divisions(move.dial_divisions)}"
    )
    text += (
        " from what it shows then."
        if move.target_nm is None
        else f": wind until it reads {show_small(move.target_nm, dial.unit)}."
    )
    return " ".join((text, *move_notes(move)))


def move_notes(move: JawMove) -> tuple[str, ...]:
    """What the hands must know of a move besides: how much of the key it is, and that a long one goes in short steps."""
    notes = []
    if move.key_turns is not None:
        notes.append(f"That is about {_turns(move.key_turns)}.")
    if move.by_nm > _LONG_MOVE_NM:
        notes.append("It is a long way: go in short steps, so that the work is never loose.")
    return tuple(notes)


def _divisions(count: float) -> str:
    rounded = round(2 * count) / 2
    return f"{rounded:g} {'division' if rounded <= 1 else 'divisions'}"


def _turns(turns: float) -> str:
    if turns < 1 / 16:
        return f"{max(1, round(turns * 360))} degrees of the key"
    if turns <= _MOST_OF_ONE_TURN:
        return f"{_PARTS[min(_PARTS, key=lambda part: abs(part - turns))]} of the key"
    return f"{round(turns * 4) / 4:g} turns of the key"


def _next(advice: Advice) -> str:
    if advice.expected_tir_nm is None:
        return "Make all tight, then read all the spots again."
    return (
        "Make all tight, then read all the spots again: the dial should swing about"
        f" {show_small(advice.expected_tir_nm, advice.dial.unit)}, the casting's own shape and what the dial cannot show."
    )


def stop_words(advice: Advice) -> str:
    """Why there is nothing more to move; nothing where there is."""
    left = show_small(advice.out_of_round_nm or 0, advice.dial.unit)
    shape = f"what is left, {left}, is the casting's own shape, and no jaw can cure it"
    return {
        None: "",
        Stop.TRUE: "It is within what you allow: leave the jaws as they are, and go on.",
        Stop.SHAPE: f"Stop here: the middle is right; {shape}.",
        Stop.ROUGHNESS: f"Stop here: how far it is off cannot be told from the roughness of the casting; {shape}.",
        Stop.DIAL: "Stop here: each move left is under half a division, less than the dial can show; read with a finer"
        " dial if it must be truer.",
    }[advice.stop]


def limit_words(advice: Advice) -> tuple[str, ...]:
    """What so few readings cannot tell."""
    if len(advice.readings) == 3:
        return (
            "Three readings always lie on some circle: whether the casting is out of round cannot be told."
            " Read a fourth spot to know.",
        )
    out = f"Out of round by {show_small(advice.out_of_round_nm or 0, advice.dial.unit)}"
    if len(advice.readings) == 4:
        lobes = "lobes between them stay hidden. Read more spots to see them."
        return (f"{out} as far as four readings can tell: {lobes}",)
    return (f"{out}.",)


# ---- Round by round -------------------------------------------------------------------------------


def swing_words(rounds: Sequence[Advice]) -> tuple[str, ...]:
    """How far the dial swung at each round."""
    unit = rounds[-1].dial.unit
    return tuple(
        f"Round {number}: the dial {swing(one.tir_nm, unit)}." for number, one in enumerate(rounds, 1)
    )


def trend_words(found: Convergence, last: Advice) -> tuple[str, ...]:
    """How the last move went, and what to do about it; every pair that went amiss is named, the worst first."""
    if last.stop:
        return (_DONE[last.stop],)
    if found.trend in _GENERAL:
        return (_GENERAL[found.trend],)
    amiss = sorted(
        (one for one in found.shares if one.trend in AMISS), key=lambda one: AMISS.index(one.trend)
    )
    return tuple(_pair_words(one) for one in amiss)


def _pair_words(one: PairShare) -> str:
    low, high = sorted((one.slacken, one.tighten))
    pair = f"jaws {low} and {high}"
    if one.trend is Trend.WRONG_WAY:
        return (
            f"The last move of {pair} went the wrong way: the dial may count the other way, or the wrong jaw was slackened."
            " Push the plunger in with a finger: if the figure falls, say so on this sheet; then read again."
        )
    if one.trend is Trend.STUCK:
        return (
            f"The last move of {pair} hardly moved the work: it may have sprung back, or jaw {one.slacken} was not"
            f" slackened enough. Slacken jaw {one.slacken} a little more before you tighten jaw {one.tighten}."
        )
    if one.trend is Trend.SHORT:
        return (
            f"The last move of {pair} made only about {_tenths(one.share)} of what was asked: work or jaw springs."
            " Read the dial with both jaws tight, not while winding."
        )
    return (
        f"The last move of {pair} went too far, about {_tenths(one.share)} of what was asked:"
        " wind more slowly and watch the dial at the jaw that is named."
    )


def _tenths(share: float) -> str:
    return f"{round(share * 10)} tenths"


# ---- A look by eye ---------------------------------------------------------------------------------

POINT = {
    Surface.INSIDE: "Hold the point still inside the rim, pointing outwards, just clear of its inside edge.",
    Surface.OUTSIDE: "Hold the point still outside the rim, pointing inwards, just clear of it.",
}


def spot_between(angle_deg: float) -> str:
    """A spot that the eye can tell.

    >>> spot_between(90.0), spot_between(315.0)
    ('jaw 2', 'between jaws 4 and 1')
    """
    jaw, between = _jaw_at(angle_deg)
    return f"between jaws {jaw} and {jaw % 4 + 1}" if between else f"jaw {jaw}"


def look_words(look: Look) -> str:
    """What was seen, in short."""
    if look.high_deg is None or look.low_deg is None:
        return "no difference to be seen"
    high, low = (
        f"{'' if _jaw_at(at)[1] else 'at '}{spot_between(at)}" for at in (look.high_deg, look.low_deg)
    )
    return f"high {high}, low {low}"


def _jaw_at(angle_deg: float) -> tuple[int, bool]:
    """The jaw at a spot or the last before it, and whether the spot lies past it."""
    return int(angle_deg) // 90 + 1, int(angle_deg) % 90 != 0


def eye_move_words(move: EyeMove) -> str:
    """One pair of jaws, without a figure."""
    low, high = move.pair
    return (
        f"Slacken jaw {move.slacken} a little, then tighten jaw {move.tighten}, until the gap looks alike at jaws {low}"
        f" and {high}."
    )


def after_look(look: Look, since: Since | None) -> tuple[str, ...]:
    """What follows a look."""
    if look.seen is Seen.ALIKE:
        return ("How far it is out nobody has measured: a dial tells.",)
    if look.seen is Seen.SHAPE:
        return (
            "They do not lie opposite each other, so that is the rim's own shape as much as its place.",
            "Look at opposite jaws alone, 1 against 3 and 2 against 4. Where a pair differs, say which of the two is high"
            " and which is low; where both pairs look alike, no jaw can better it: go on.",
        )
    again = "Make all four tight, turn the chuck all the way round by hand, and look again."
    if since is Since.SAME:
        return (
            "The same as before the last move: move it further. If the difference has grown, the jaws or the surface are"
            " not as said on this sheet.",
            again,
        )
    if since is Since.PAST:
        return ("The last move went past the middle: go about half as far back.", again)
    return (again,)


# ---- A round on the face --------------------------------------------------------------------------


def wobble_words(wobble: Wobble) -> tuple[str, ...]:
    """Where to tap, what the wobble takes as it is, and what tapping cannot cure."""
    unit = wobble.dial.unit
    if not wobble.tap and wobble.amplitude_nm >= wobble.dial.division_nm / 2:
        first = (
            f"The face {swing(wobble.swing_nm, unit)}: it is within what you allow, so leave it and go on."
        )
    elif not wobble.tap:
        first = "The face runs true as far as this dial can show: leave it."
    else:
        way = "down" if wobble.dial.counts_up_when_pushed_in else "up"
        first = (
            f"The face stands out most at {spot_words(wobble.tap_deg)}: turn that spot under the plunger and tap it"
            f" towards the chuck until the dial has gone {way} by {show_small(wobble.amplitude_nm, unit)}, then read again."
        )
    steals = (
        f"Left as it is, the wobble takes {show_small(wobble.steals_nm, unit)} from the metal on each face,"
        f" {show(wobble.steals_at_nm, unit)} from the middle."
    )
    if wobble.out_of_flat_nm is None:
        flat = "Three readings always lie in some plane: whether the face is flat cannot be told without a fourth spot."
    else:
        flat = f"Tapping cannot cure the rest: the face itself is out of flat by {show_small(wobble.out_of_flat_nm, unit)}."
    return first, steals, flat


def too_large_words(wobble: Wobble) -> str:
    """What to do where it takes more metal than there is; nothing where it does not."""
    if wobble.stock_nm is None or not wobble.too_large:
        return ""
    unit = wobble.dial.unit
    return (
        f"The wobble takes {show_small(wobble.steals_nm, unit)} and only {show_small(wobble.stock_nm, unit)} is there to"
        f" come off: do not cut, but tap the spot at {spot_words(wobble.tap_deg)} towards the chuck and read again."
    )

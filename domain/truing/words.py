"""Setting true, in words that cannot be taken two ways."""

from __future__ import annotations

from collections.abc import Sequence

from domain.lengths import NM_PER_MM, Unit, show
from domain.truing.dial_readings import DialFit, spot_words
from domain.truing.types import Dial, Grip, JawMove, Stop

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
_GRIP = {
    Grip.ON_OUTSIDE: "The jaws close on the outside here: tighten means winding a jaw in, towards the middle of the chuck;"
    " slacken means winding it out.",
    Grip.ON_INSIDE: "The jaws press outwards inside the rim here: tighten means winding a jaw OUT, against the rim;"
    " slacken means winding it in, towards the middle of the chuck.",
}


def advice_words(
    fit: DialFit,
    heading_deg: float,
    moves: Sequence[JawMove],
    grip: Grip,
    reason: Stop | None,
    expected_tir_nm: int | None,
    count: int,
    dial: Dial,
) -> tuple[str, ...]:
    """The advice in the order in which it is followed; called by advise() and tested through it."""
    unit = dial.unit
    off = round(fit.amplitude_nm)
    lies = f"The dial swings {show(fit.tir_nm, unit)} in all. "
    if off:
        lies += f"The work lies {show(off, unit)} off the middle, towards {spot_words(heading_deg)}."
    else:
        lies += "The work lies in the middle."
    words = [lies]
    if reason is None:
        words.append(_GRIP[grip])
        words += [move_words(move, dial) for move in moves]
        words += [f"Jaws {pair}: leave them as they are." for pair in _pairs_left(moves)]
        words.append(_after(expected_tir_nm, unit))
    else:
        words.append(_stop_words(reason, fit, unit))
    limit = _limit_words(count, fit, unit)
    return (*words, limit) if limit else tuple(words)


def move_words(move: JawMove, dial: Dial) -> str:
    """One pair of jaws, in one sentence for the hands and one for the eye.

    >>> move = JawMove(3, 1, 120_000, 12.0, 0.03, 1, -120_000, 350_000)
    >>> print(move_words(move, Dial(10_000, Unit.MM)))
    Jaws 1 and 3: turn jaw 1 under the plunger. Slacken jaw 3, then tighten jaw 1, until the dial at jaw 1 \
has gone down by 0.120 mm (0.0047 in), 12 divisions: wind until it reads 0.350 mm (0.0138 in). \
That is about 11 degrees of the key.
    """
    low, high = sorted((move.slacken, move.tighten))
    way = "down" if move.dial_change_nm < 0 else "up"
    text = (
        f"Jaws {low} and {high}: turn jaw {move.watch} under the plunger."
        f" Slacken jaw {move.slacken}, then tighten jaw {move.tighten}, until the dial at jaw {move.watch}"
        f" has gone {way} by {show(move.by_nm, dial.unit)}, {_divisions(move.dial_divisions)}"
    )
    text += (
        " from what it shows then."
        if move.target_nm is None
        else f": wind until it reads {show(move.target_nm, dial.unit)}."
    )
    if move.key_turns is not None:
        text += f" That is about {_turns(move.key_turns)}."
    if move.by_nm > _LONG_MOVE_NM:
        text += " It is a long way: go in short steps, so that the work is never loose."
    return text


def _divisions(count: float) -> str:
    rounded = round(2 * count) / 2
    return f"{rounded:g} {'division' if rounded <= 1 else 'divisions'}"


def _turns(turns: float) -> str:
    if turns < 1 / 16:
        return f"{max(1, round(turns * 360))} degrees of the key"
    if turns <= _MOST_OF_ONE_TURN:
        return f"{_PARTS[min(_PARTS, key=lambda part: abs(part - turns))]} of the key"
    return f"{round(turns * 4) / 4:g} turns of the key"


def _pairs_left(moves: Sequence[JawMove]) -> list[str]:
    moved = {min(move.slacken, move.tighten) for move in moves}
    return [pair for first, pair in ((1, "1 and 3"), (2, "2 and 4")) if first not in moved]


def _after(expected_tir_nm: int | None, unit: Unit) -> str:
    if expected_tir_nm is None:
        return "Make all tight, then read all the spots again."
    return (
        "Make all tight, then read all the spots again:"
        f" the dial should swing about {show(expected_tir_nm, unit)}, the casting's own shape and what the dial cannot show."
    )


def _stop_words(reason: Stop, fit: DialFit, unit: Unit) -> str:
    shape = f"what is left, {show(fit.out_of_round_nm or 0, unit)}, is the casting's own shape, and no jaw can cure it"
    return {
        Stop.TRUE: "Stop here: it is as true as you asked for.",
        Stop.SHAPE: f"Stop here: the middle is right; {shape}.",
        Stop.ROUGHNESS: f"Stop here: how far it is off cannot be told from the roughness of the casting; {shape}.",
        Stop.DIAL: "Stop here: each move left is under half a division, less than the dial can show; read with a finer"
        " dial if it must be truer.",
    }[reason]


def _limit_words(count: int, fit: DialFit, unit: Unit) -> str | None:
    """What so few readings cannot tell."""
    if count == 3:
        return (
            "Three readings always lie on some circle: whether the casting is out of round cannot be told."
            " Read a fourth spot to know."
        )
    if count == 4:
        return (
            f"Out of round by {show(fit.out_of_round_nm or 0, unit)} as far as four readings can tell:"
            " lobes between them stay hidden. Read more spots to see them."
        )
    return f"Out of round by {show(fit.out_of_round_nm or 0, unit)}."

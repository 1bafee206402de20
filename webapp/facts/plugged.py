"""The fit of a bore known by plug gauges only: judged at both ends of its interval, for it has no one size."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from domain.joints.fit import Answer, FitKind, FitVerdict, Joint, Remedy
from domain.lengths import Unit, show

_WORST = (Answer.SERVES, Answer.CAUTION, Answer.NOT)
_MEASURE = Remedy(
    "measure",
    "Measure the bore with an instrument that shows a value, or try plugs nearer to its size.",
    None,
)


def judge_plugged(
    judge: Callable[[int], FitVerdict], joint: Joint, low_nm: int | None, high_nm: int | None, unit: Unit
) -> FitVerdict:
    """The verdict on an interval: it serves only when both its ends serve.

    An interval open at one end is never said to serve: it fails when its known end does and the open end lies
    further that way; else it is left open, and said so.
    """
    verdict = _judge(judge, joint, low_nm, high_nm, unit)
    # A class is of a size, and plugs give none.
    workings = tuple(one for one in verdict.workings if one.name != "class of the bore")
    return replace(verdict, bore_class=None, workings=workings)


def _judge(
    judge: Callable[[int], FitVerdict], joint: Joint, low_nm: int | None, high_nm: int | None, unit: Unit
) -> FitVerdict:
    ends = [
        (name, nm, judge(nm)) for name, nm in (("smallest", low_nm), ("largest", high_nm)) if nm is not None
    ]
    if len(ends) == 1:
        return _open_ended(*ends[0], joint, unit)
    (_, low, at_low), (_, high, at_high) = ends
    name, nm, worst = max(ends, key=lambda end: _WORST.index(end[2].answer))
    between = f"by the plugs the bore lies between {show(low, unit)} and {show(high, unit)}"
    if at_low.answer is at_high.answer is Answer.SERVES:
        headline = f"{_sizes(at_low, at_high, unit)}: serves at both ends of what the plugs leave open"
        return replace(
            worst, headline=headline, reason=f"It is as it should be wherever {between}.", remedies=()
        )
    return replace(
        worst,
        headline=f"At its {name}, {show(nm, unit)}: {_small(worst.headline)}",
        reason=f"Judged at both ends, for {between}. {worst.reason}",
        remedies=(_MEASURE, *_of_both(at_low, at_high, unit)),
    )


def _open_ended(name: str, nm: int, verdict: FitVerdict, joint: Joint, unit: Unit) -> FitVerdict:
    larger = name == "smallest"
    than = f"The bore is {'larger' if larger else 'smaller'} than {show(nm, unit)}"
    if verdict.answer is Answer.NOT and _too_large(verdict, joint) is larger:
        reason = f"{verdict.reason} Further that way it is no better."
        headline = f"{than}; there already {_small(verdict.headline)}"
        return replace(verdict, headline=headline, reason=reason, remedies=(_MEASURE,))
    reason = "One plug alone leaves the size open at one end: whether it serves cannot be told."
    headline = f"{than}, and no more is known"
    return replace(verdict, answer=Answer.CAUTION, headline=headline, reason=reason, remedies=(_MEASURE,))


def _too_large(verdict: FitVerdict, joint: Joint) -> bool:
    """Whether a fit that fails does so because the bore is too large."""
    if verdict.factor is not None and verdict.factor < joint.factor_wanted:
        return False  # it would crack the boss, so the bore is too small
    middle = (joint.least_nm + joint.most_nm) // 2
    return verdict.clearance_nm > (middle if joint.kind is FitKind.BOND else -middle)


def _of_both(at_low: FitVerdict, at_high: FitVerdict, unit: Unit) -> list[Remedy]:
    """The remedies that hold for either end; amounts that hang on the size are left off."""
    found = []
    for one in at_low.remedies:
        other = next((r for r in at_high.remedies if r.key == one.key), None)
        if other is None or one.window_nm != other.window_nm:
            continue
        if one.words == other.words:
            found.append(one)
        elif one.window_nm is not None and one.key in ("bore_out", "bore_for_bond"):
            low, high = (show(nm, unit) for nm in one.window_nm)
            then = " Then bond it instead." if one.key == "bore_for_bond" else ""
            found.append(
                replace(one, words=f"Bore it out to between {low} and {high}.{then}", amount_nm=None)
            )
    return found


def _sizes(at_low: FitVerdict, at_high: FitVerdict, unit: Unit) -> str:
    least, most = sorted((at_low.clearance_nm, at_high.clearance_nm), key=abs)
    return (
        f"{'Clearance' if most >= 0 else 'Interference'} {show(abs(least), unit)} to {show(abs(most), unit)}"
    )


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]

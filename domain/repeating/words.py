"""What is said of what was set, and of what came of it."""

from collections.abc import Mapping, Sequence

from domain.lengths import Unit, shown_small
from domain.repeating.settings import Setting


def set_words(texts: Mapping[Setting, str]) -> str:
    """What was set in one line, as typed.

    >>> set_words({Setting.DIAL: "0.4250 in", Setting.REAMER: "A", Setting.SPINDLE: "110 rpm"})
    '110 rpm, reamer A, dial 0.4250 in'
    """
    return ", ".join(_said(one, texts[one]) for one in Setting if texts.get(one))


def _said(one: Setting, text: str) -> str:
    """A reamer, a dial and a jig are said to be that, but for a name that says it."""
    lead = {Setting.REAMER: "reamer", Setting.DIAL: "dial", Setting.JIG: "jig"}.get(one, "")
    return f"{lead} {text}" if lead and lead not in text.casefold() else text


def each_words(lines: Sequence[tuple[str, str]]) -> str:
    """What was set for some operations: of several cuts each is named; how it is held has no name.

    >>> each_words([("", "on the outside"), ("drill", "300 rpm")])
    'on the outside; 300 rpm'
    >>> each_words([("drill", "300 rpm"), ("ream", "110 rpm")])
    'drill: 300 rpm; ream: 110 rpm'
    """
    several = sum(bool(name) for name, _ in lines) > 1
    return "; ".join(f"{name}: {words}" if name and several else words for name, words in lines)


def came_words(mark: str, off_nm: float, good: bool, texts: Mapping[Setting, str], unit: Unit) -> str:
    """What a wheel came to against what was aimed at, and with what; above 0 is larger.

    >>> with_a = {Setting.REAMER: "A", Setting.SPINDLE: "110 rpm"}
    >>> came_words("W3", 7_620, True, with_a, Unit.INCH)
    'W3 came 0.3 thou larger than aimed with reamer A at 110 rpm: in limits'
    >>> came_words("W3", -50_000, False, {Setting.DIAL: "12.30 mm"}, Unit.MM)
    'W3 came 0.050 mm smaller than aimed with dial 12.30 mm: under'
    """
    far = shown_small(abs(round(off_nm)), unit)
    apart = f"{far} {'larger' if off_nm > 0 else 'smaller'} than aimed"
    came = "as aimed" if far == shown_small(0, unit) else apart
    limits = "in limits" if good else "over" if off_nm > 0 else "under"
    return f"{mark} came {came}{_with(texts)}: {limits}"


def _with(texts: Mapping[Setting, str]) -> str:
    """With what it was cut; of a cut whose tool is not said, its dial reading."""
    if words := edge_words(texts):
        return f" with {words}"
    dial = f" with {_said(Setting.DIAL, texts[Setting.DIAL])}" if texts.get(Setting.DIAL) else ""
    return f"{dial} at {texts[Setting.SPINDLE]}" if texts.get(Setting.SPINDLE) else dial


def edge_words(texts: Mapping[Setting, str]) -> str:
    """The edge that cut and its speed; empty where no edge is named.

    >>> edge_words({Setting.REAMER: "A", Setting.SPINDLE: "110 rpm"}), edge_words({Setting.SPINDLE: "110 rpm"})
    ('reamer A at 110 rpm', '')
    """
    edge = next((one for one in (Setting.REAMER, Setting.TOOL) if texts.get(one)), None)
    if edge is None:
        return ""
    name = _said(edge, texts[edge])
    return f"{name} at {texts[Setting.SPINDLE]}" if texts.get(Setting.SPINDLE) else name


def unlike_dials_words(readings: Sequence[tuple[str, str]]) -> str:
    """That the finishing cuts of one set-up do not have one dial reading.

    >>> unlike_dials_words([("W3", "0.4250 in"), ("W5", "0.4262 in")])
    'Take care: the treads are finished at unlike dial readings, W3 at 0.4250 in, W5 at 0.4262 in.'
    """
    each = ", ".join(f"{mark} at {text}" for mark, text in readings)
    return f"Take care: the treads are finished at unlike dial readings, {each}."

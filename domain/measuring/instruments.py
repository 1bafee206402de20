"""What a size is measured with: its resolution, its uncertainty, its zero, and what may be wrong with them."""

from dataclasses import dataclass
from enum import StrEnum

from domain.lengths import Unit, exact_figure, such
from domain.lengths.fine import fine, fine_both

MOST_ALPHA_PER_K = 200e-6


class InstrumentError(ValueError):
    """An instrument that cannot be used so; its text is one sentence for the page."""


class InstrumentKind(StrEnum):
    """What comes of measuring: a value, or only whether two plugs go in."""

    VALUE = "value"
    PLUG = "plug"


class Reach(StrEnum):
    """What an instrument gets at: holes, outsides, or both."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    BOTH = "both"


@dataclass(frozen=True)
class Instrument:
    """One instrument; lengths in nm, expansion per kelvin.

    resolution_nm: the least step it shows (0 for plugs, which show nothing).
    expanded_nm: expanded uncertainty U (k = 2) of one reading, or of each plug's size.
    zero_offset_nm: what it reads on a known size, less that size: an instrument that reads 0.02 mm when it
        should read 0 has +0.02 mm, and that much is taken off every reading. Plugs have none.
    go_nm, not_go_nm: the sizes of the plugs; None for an instrument that shows a value.
    """

    kind: InstrumentKind
    name: str
    resolution_nm: int
    expanded_nm: int
    zero_offset_nm: int = 0
    go_nm: int | None = None
    not_go_nm: int | None = None
    alpha_per_k: float = 11.5e-6  # steel, JCGM 100 (GUM) H.1
    reach: Reach = Reach.BOTH
    note: str = ""

    def measures(self, reach: Reach) -> bool:
        """Whether the instrument gets at this; BOTH asks for nothing in particular.

        >>> Instrument(InstrumentKind.VALUE, "micrometer", 1_000, 3_000, reach=Reach.OUTSIDE).measures(Reach.INSIDE)
        False
        """
        return Reach.BOTH in (self.reach, reach) or self.reach is reach


def faults(instrument: Instrument, unit: Unit = Unit.MM) -> dict[str, str]:
    """What is wrong with an instrument's figures, one sentence for each field.

    Formula: name not blank; U >= 0; 0 <= alpha <= 200e-6; a value: resolution > 0 and no plugs;
    plugs: 0 < go < not-go, no zero offset, not for outsides.

    Args:
        instrument: any.

    Returns:
        Sentences by field name; empty when all is well.

    Source: by definition of the figures.

    >>> faults(Instrument(InstrumentKind.PLUG, "plugs", 0, 2_000, go_nm=25_021_000, not_go_nm=25_000_000))["go_nm"]
    'The go plug must be smaller than the not-go plug: for 25 H7 they are 25.000 mm and 25.021 mm.'
    """
    found = {}
    if not instrument.name.strip():
        found["name"] = "The instrument has no name: give it one, such as 0-25 micrometer."
    if instrument.expanded_nm < 0:
        found["expanded_nm"] = (
            "The uncertainty is less than nothing: type U as its certificate has it, such as"
            f" {such(unit, '0.006 mm', '0.0003 in')}."
        )
    if not 0 <= instrument.alpha_per_k <= MOST_ALPHA_PER_K:
        found["alpha_per_k"] = (
            "The expansion must be between 0 and 200 millionths per kelvin: type one such as 11.5 for steel."
        )
    return found | (_value_faults if instrument.kind is InstrumentKind.VALUE else _plug_faults)(
        instrument, unit
    )


def _value_faults(instrument: Instrument, unit: Unit) -> dict[str, str]:
    found = {}
    if instrument.resolution_nm <= 0:
        found["resolution_nm"] = (
            "The resolution must be above nothing: type the least step it shows, such as"
            f" {such(unit, '0.01 mm', '0.0005 in')}."
        )
    for field, size in (("go_nm", instrument.go_nm), ("not_go_nm", instrument.not_go_nm)):
        if size is not None:
            found[field] = (
                "An instrument that shows a value has no plug size: leave it blank, or call it plug gauges."
            )
    return found


def _plug_faults(instrument: Instrument, unit: Unit) -> dict[str, str]:
    found = {}
    go, not_go = instrument.go_nm, instrument.not_go_nm
    for field, name, size in (("go_nm", "go", go), ("not_go_nm", "not-go", not_go)):
        if size is None or size <= 0:
            found[field] = (
                f"The {name} plug has no size: type the one marked on it, such as {such(unit, '25 mm', '1 in')}."
            )
    if not found and go is not None and not_go is not None and go >= not_go:
        found["go_nm"] = (
            "The go plug must be smaller than the not-go plug: for 25 H7 they are 25.000 mm and 25.021 mm."
        )
    if instrument.zero_offset_nm:
        found["zero_offset_nm"] = "Plug gauges have no zero offset: correct the plugs' own sizes."
    if instrument.reach is Reach.OUTSIDE:
        found["reach"] = "Plug gauges are for holes: choose inside."
    return found


def corrected(indicated_nm: int, instrument: Instrument) -> int:
    """A reading with the instrument's zero offset taken off.

    Formula: corrected = indicated - zero offset, where zero offset = what it reads on a known size - that size

    Args:
        indicated_nm: the reading as shown, nm.
        instrument: one that shows a value.

    Returns:
        The corrected reading, nm.

    Raises:
        InstrumentError: plug gauges, which show no value, or an instrument with a fault.

    Source: by definition.

    >>> corrected(25_010_000, Instrument(InstrumentKind.VALUE, "micrometer", 1_000, 3_000, zero_offset_nm=2_000))
    25008000
    """
    require_value(instrument)
    return indicated_nm - instrument.zero_offset_nm


def own_unit(instrument: Instrument) -> Unit:
    """The system an instrument shows, as far as its own figures tell.

    Formula: the one that writes its step, or its plugs' sizes together, with fewer digits (zeros at either end
    not counted); millimetres when both take as many. A step of 0.0005 in is 0.0127 mm: one digit against three.

    Args:
        instrument: any.

    Returns:
        Millimetres or inches.

    Source: none, a rule of our own: a scale is divided into round figures of its own system.

    >>> own_unit(Instrument(InstrumentKind.VALUE, "caliper", 12_700, 38_100))
    <Unit.INCH: 'in'>
    """
    sizes = [instrument.resolution_nm, instrument.go_nm, instrument.not_go_nm]
    figures = [size for size in sizes if size]
    counts = {unit: sum(_digits(size, unit) for size in figures) for unit in Unit}
    return Unit.INCH if counts[Unit.INCH] < counts[Unit.MM] else Unit.MM


def _digits(nm: int, unit: Unit) -> int:
    return len(exact_figure(abs(nm), unit).replace(".", "").strip("0"))


# Our own rule: U is seldom below a tenth of a step or above twenty; beyond, the unit is likelier wrong.
_MOST_STEPS, _LEAST_PART = 20, 10


def doubtful_uncertainty(instrument: Instrument) -> str | None:
    """A question when U and the step of an instrument hardly belong together.

    Formula: U > 20 resolution, or U < resolution / 10

    Args:
        instrument: any; plug gauges, which have no step, are never in doubt.

    Returns:
        The sentence, or None.

    Source: none, a rule of our own against a figure typed in the wrong unit.

    >>> doubtful_uncertainty(Instrument(InstrumentKind.VALUE, "bore gauge", 1_000, 203_200))
    'U of 0.2032 mm (0.0080 in) is 203 steps of 0.001 mm (0.000039 in): is the unit right?'
    """
    step, expanded = instrument.resolution_nm, instrument.expanded_nm
    if step <= 0 or expanded < 0:
        return None
    unit = own_unit(instrument)
    size, one = fine_both(expanded, unit), fine_both(step, unit)
    if expanded > _MOST_STEPS * step:
        return f"U of {size} is {expanded // step} steps of {one}: is the unit right?"
    if expanded * _LEAST_PART < step:
        return f"U of {size} is less than a tenth of a step, {one}: is the unit right?"
    return None


def caution_if_too_fine(
    indicated_nm: int, instrument: Instrument, unit: Unit, typed_in: Unit | None = None
) -> str | None:
    """A caution when a reading as shown is finer than its instrument can show.

    Formula: indicated is not a whole number of resolution steps (to 1 nm, for steps such as 1/128 in). A reading
    typed in another system than the steps was converted and rounded by hand, so it lies on no step: no caution.

    Args:
        indicated_nm: the reading as shown, before any correction, nm.
        instrument: one that shows a value.
        unit: the system the sentence is written in.
        typed_in: the system the reading was typed in; None for the instrument's own.

    Returns:
        The sentence, or None.

    Raises:
        InstrumentError: plug gauges, which show no value, or an instrument with a fault.

    Source: by definition of resolution.

    >>> caution_if_too_fine(25_013_000, Instrument(InstrumentKind.VALUE, "caliper", 10_000, 40_000), Unit.MM)
    'The caliper shows steps of 0.010 mm, and 25.013 mm lies between two of them: check the reading.'
    """
    require_value(instrument)
    if typed_in is not None and typed_in is not own_unit(instrument):
        return None
    past = indicated_nm % instrument.resolution_nm
    if min(past, instrument.resolution_nm - past) <= 1:
        return None
    step, size = fine(instrument.resolution_nm, unit), fine(indicated_nm, unit)
    return f"The {instrument.name} shows steps of {step}, and {size} lies between two of them: check the reading."


def require_value(instrument: Instrument) -> None:
    """Refuse an instrument that shows no value or has a fault.


    Args:
        instrument: any.

    Raises:
        InstrumentError: plug gauges, or an instrument with a fault.

    Source: by definition.

    >>> require_value(Instrument(InstrumentKind.VALUE, "caliper", 10_000, 40_000))
    """
    for sentence in faults(instrument).values():
        raise InstrumentError(sentence)
    if instrument.kind is InstrumentKind.PLUG:
        raise InstrumentError(
            f"The {instrument.name} shows no value: say which plug goes in, or name an instrument "
            "such as the bore gauge."
        )

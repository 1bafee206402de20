"""What a size is measured with: its resolution, its uncertainty, its zero, and what may be wrong with them."""

from dataclasses import dataclass
from enum import StrEnum

from domain.length import Unit
from domain.length_fine import fine

MOST_ALPHA_PER_K = 200e-6


class InstrumentError(ValueError):
    """An instrument that cannot be used so; its text is one sentence for the page."""


class Kind(StrEnum):
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

    kind: Kind
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

        >>> Instrument(Kind.VALUE, "micrometer", 1_000, 3_000, reach=Reach.OUTSIDE).measures(Reach.INSIDE)
        False
        """
        return Reach.BOTH in (self.reach, reach) or self.reach is reach


def faults(instrument: Instrument) -> dict[str, str]:
    """What is wrong with an instrument's figures, one sentence for each field.

    Formula: name not blank; U >= 0; 0 <= alpha <= 200e-6; a value: resolution > 0 and no plugs;
    plugs: 0 < go < not-go, no zero offset, not for outsides.

    Args:
        instrument: any.

    Returns:
        Sentences by field name; empty when all is well.

    Source: by definition of the figures.

    >>> faults(Instrument(Kind.PLUG, "plugs", 0, 2_000, go_nm=25_021_000, not_go_nm=25_000_000))["go_nm"]
    'The go plug must be smaller than the not-go plug: for 25 H7 they are 25.000 mm and 25.021 mm.'
    """
    found = {}
    if not instrument.name.strip():
        found["name"] = "The instrument has no name: give it one, such as 0-25 micrometer."
    if instrument.expanded_nm < 0:
        found["expanded_nm"] = (
            "The uncertainty is less than nothing: type U as its certificate has it, such as 0.006 mm."
        )
    if not 0 <= instrument.alpha_per_k <= MOST_ALPHA_PER_K:
        found["alpha_per_k"] = (
            "The expansion must be between 0 and 200 millionths per kelvin: type one such as 11.5 for steel."
        )
    return found | (_value_faults if instrument.kind is Kind.VALUE else _plug_faults)(instrument)


def _value_faults(instrument: Instrument) -> dict[str, str]:
    found = {}
    if instrument.resolution_nm <= 0:
        found["resolution_nm"] = (
            "The resolution must be above nothing: type the least step it shows, such as 0.01 mm."
        )
    for field, size in (("go_nm", instrument.go_nm), ("not_go_nm", instrument.not_go_nm)):
        if size is not None:
            found[field] = (
                "An instrument that shows a value has no plug size: leave it blank, or call it plug gauges."
            )
    return found


def _plug_faults(instrument: Instrument) -> dict[str, str]:
    found = {}
    go, not_go = instrument.go_nm, instrument.not_go_nm
    for field, name, size in (("go_nm", "go", go), ("not_go_nm", "not-go", not_go)):
        if size is None or size <= 0:
            found[field] = f"The {name} plug has no size: type the one marked on it, such as 25 mm."
    if not found and go is not None and not_go is not None and go >= not_go:
        found["go_nm"] = (
            "The go plug must be smaller than the not-go plug: for 25 H7 they are 25.000 mm and 25.021 mm."
        )
    if instrument.zero_offset_nm:
        found["zero_offset_nm"] = (
            "Plug gauges have no zero offset: correct the plugs' own sizes, such as 25.001 mm."
        )
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

    >>> corrected(25_010_000, Instrument(Kind.VALUE, "micrometer", 1_000, 3_000, zero_offset_nm=2_000))
    25008000
    """
    require_value(instrument)
    return indicated_nm - instrument.zero_offset_nm


def caution_if_too_fine(indicated_nm: int, instrument: Instrument, unit: Unit) -> str | None:
    """A caution when a reading as shown is finer than its instrument can show.

    Formula: indicated is not a whole number of resolution steps (to 1 nm, for steps such as 1/128 in)

    Args:
        indicated_nm: the reading as shown, before any correction, nm.
        instrument: one that shows a value.
        unit: the system the sentence is written in.

    Returns:
        The sentence, or None.

    Raises:
        InstrumentError: plug gauges, which show no value, or an instrument with a fault.

    Source: by definition of resolution.

    >>> caution_if_too_fine(25_013_000, Instrument(Kind.VALUE, "caliper", 10_000, 40_000), Unit.MM)
    'The caliper shows steps of 0.010 mm, and 25.013 mm lies between two of them: check the reading.'
    """
    require_value(instrument)
    past = indicated_nm % instrument.resolution_nm
    if min(past, instrument.resolution_nm - past) <= 1:
        return None
    step, size = fine(instrument.resolution_nm, unit), fine(indicated_nm, unit)
    return f"The {instrument.name} shows steps of {step}, and {size} lies between two of them: check the reading."


def require_value(instrument: Instrument) -> None:
    """Refuse an instrument that shows no value or has a fault.

    Formula: none.

    Args:
        instrument: any.

    Raises:
        InstrumentError: plug gauges, or an instrument with a fault.

    Source: by definition.

    >>> require_value(Instrument(Kind.VALUE, "caliper", 10_000, 40_000))
    """
    for sentence in faults(instrument).values():
        raise InstrumentError(sentence)
    if instrument.kind is Kind.PLUG:
        raise InstrumentError(
            f"The {instrument.name} shows no value: say which plug goes in, or name an instrument "
            "such as the bore gauge."
        )

"""What plug gauges tell: an interval the bore lies in, never a value."""

from dataclasses import dataclass

from domain.lengths import Unit, show_in
from domain.measuring.instruments import Instrument, InstrumentError, InstrumentKind, faults


@dataclass(frozen=True)
class Interval:
    """A bore is larger than low and smaller than high, nm; None where the plugs leave it open."""

    low_nm: int | None
    high_nm: int | None

    def words(self, unit: Unit) -> str:
        """The interval in a few words.

        >>> Interval(25_000_000, 25_021_000).words(Unit.MM), Interval(None, 25_000_000).words(Unit.MM)
        ('between 25.000 mm and 25.021 mm', 'smaller than 25.000 mm')
        """
        low, high = (None if nm is None else show_in(nm, unit) for nm in (self.low_nm, self.high_nm))
        if low and high:
            return f"between {low} and {high}"
        return f"larger than {low}" if low else f"smaller than {high}" if high else "not known"


def interval_from_plugs(gauge: Instrument, go_enters: bool | None, not_go_enters: bool | None) -> Interval:
    """Between which sizes a bore lies, from which plugs go in.

    Formula: a plug that goes in is smaller than the bore, one that does not is larger; the narrowest of both

    Args:
        gauge: plug gauges, sizes in nm.
        go_enters: whether the go plug goes in; None when it was not tried.
        not_go_enters: whether the not-go plug goes in; None when it was not tried.

    Returns:
        The interval, nm.

    Raises:
        InstrumentError: no plug gauges, faulty ones, nothing tried, or an answer that cannot be.

    Source: by definition; the plugs' sizes are taken as given, and a burr or a bell mouth deceives them.

    >>> plugs = Instrument(InstrumentKind.PLUG, "plugs", 0, 2_000, go_nm=25_000_000, not_go_nm=25_021_000)
    >>> interval_from_plugs(plugs, go_enters=True, not_go_enters=False)
    Interval(low_nm=25000000, high_nm=25021000)
    """
    if gauge.kind is not InstrumentKind.PLUG:
        raise InstrumentError(f"The {gauge.name} shows a value: type its reading, such as 25.01 mm.")
    for sentence in faults(gauge).values():
        raise InstrumentError(sentence)
    if go_enters is None and not_go_enters is None:
        raise InstrumentError("No plug was tried: say of at least one whether it goes in, yes or no.")
    if not_go_enters and go_enters is False:
        raise InstrumentError(
            "The not-go plug goes in but the smaller go plug does not, which cannot be: look for a burr or dirt, "
            "check which plug is which, and try both again."
        )
    if not_go_enters:
        return Interval(gauge.not_go_nm, None)
    if go_enters is False:
        return Interval(None, gauge.go_nm)
    return Interval(gauge.go_nm if go_enters else None, gauge.not_go_nm if not_go_enters is False else None)

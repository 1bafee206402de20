"""From a log as typed to the size to be stored: the instrument looked up, the readings corrected or the plugs read."""

from __future__ import annotations

from dataclasses import dataclass

from sqlmodel import Session

from domain.lengths import show, show_offset, show_small, such
from domain.measuring.instruments import Instrument, InstrumentError, InstrumentKind, Reach
from domain.measuring.plug_gauge import Interval, interval_from_plugs
from domain.measuring.plugs import PlugsError
from domain.measuring.thermal import ThermalError, Warmth, corrected_to_20_c
from domain.measuring.uncertainty import UncertaintyError
from webapp.facts.correcting import Sized, Taken, alpha_of, size_up
from webapp.facts.measured_views import REACH, TYRE_REACH
from webapp.records.outcome import Refused
from webapp.records.views import BuildView
from webapp.records.workshop import list_instruments, list_reamers
from webapp.typed.readings import Log

_REACH_WORDS = {
    Reach.INSIDE: "does not get into holes: choose one that does, such as a bore gauge",
    Reach.OUTSIDE: "is for holes: choose one for outsides, such as a micrometer",
}


@dataclass(frozen=True, slots=True)
class LoggedSize:
    """What a log comes to, nm; an interval instead of readings where plug gauges were tried."""

    mean_nm: int
    instrument: str
    how_words: str
    expanded_nm: int | None = None
    interval: Interval | None = None

    @property
    def most_nm(self) -> int:
        """The largest it is known to be able to be."""
        ends = (self.interval.low_nm, self.interval.high_nm) if self.interval else ()
        return max([self.mean_nm, *(nm for nm in ends if nm is not None)])


def size_of(session: Session, build: BuildView, kind: str, log: Log) -> LoggedSize:
    """The size a log comes to, or Refused with a sentence beside the field that is wrong."""
    tool = _instrument(session, kind, log)
    _check_kind(session, kind, log)
    if tool is not None and (tool.kind is InstrumentKind.PLUG or log.how.plugs_tried):
        return _by_plugs(build, tool, log)
    if not log.readings:
        raise Refused(
            f"Type at least one reading, such as {such(build.unit, '19.05 mm or 3/4 in', '0.7505 in or 3/4 in')}.",
            "reading",
        )
    one, two = log.how.plugs or (None, None)
    taken = Taken(
        tuple(reading.nm for reading in log.readings),
        tool,
        log.how.work_dc,
        log.how.gauge_dc,
        alpha_of(build, kind),
        (one.nm, two.nm) if one is not None and two is not None else None,
    )
    try:
        sized = size_up(taken, build.unit)
    except PlugsError as error:
        raise Refused(str(error), "plug_one") from error
    except (InstrumentError, UncertaintyError) as error:
        raise Refused(str(error), "instrument_id") from error
    except ThermalError as error:
        raise Refused(str(error), "work_c") from error
    return LoggedSize(
        sized.mean_nm, _named(log, tool), _how_words(build, log, tool, sized), sized.expanded_nm
    )


def _instrument(session: Session, kind: str, log: Log) -> Instrument | None:
    if log.how.instrument_id is None:
        return None
    found = next((i for i in list_instruments(session) if i.id == log.how.instrument_id), None)
    if found is None or found.retired:
        raise Refused(
            "That instrument is not in the workshop's list any more: choose another.", "instrument_id"
        )
    if found.instrument.kind is InstrumentKind.PLUG and kind != "bore":
        raise Refused(
            f"The {found.instrument.name} is for a bore: choose an instrument that shows a value.",
            "instrument_id",
        )
    reach = REACH.get(kind) or TYRE_REACH[kind]
    if not found.instrument.measures(reach):
        raise Refused(f"The {found.instrument.name} {_REACH_WORDS[reach]}.", "instrument_id")
    return found.instrument


def _check_kind(session: Session, kind: str, log: Log) -> None:
    """What belongs to a bore or a throw only is not taken with anything else."""
    if log.how.plugs_tried and kind != "bore":
        raise Refused("Go and not-go plugs are for a bore: type readings here.", "go_enters")
    if log.how.plugs is not None and kind != "throw":
        raise Refused("Only a throw is measured over two plugs: leave their sizes empty here.", "plug_one")
    if log.how.reamer_id is None:
        return
    if kind != "bore":
        raise Refused("Only a bore is reamed: leave the reamer out here.", "reamer_id")
    if all(reamer.id != log.how.reamer_id for reamer in list_reamers(session)):
        raise Refused("That reamer is not in the workshop's list any more: choose another.", "reamer_id")


def _by_plugs(build: BuildView, tool: Instrument, log: Log) -> LoggedSize:
    if log.readings:
        raise Refused(
            f"The {tool.name} shows no value: leave the reading boxes empty and say which plug goes in.",
            "instrument_id",
        )
    try:
        found = interval_from_plugs(tool, log.how.go_enters, log.how.not_go_enters)
    except InstrumentError as error:
        raise Refused(str(error), "go_enters") from error
    interval = Interval(*(_at_20(build, tool, log, nm) for nm in (found.low_nm, found.high_nm)))
    ends = [nm for nm in (interval.low_nm, interval.high_nm) if nm is not None]
    words = f"; work {_degrees(log.how.work_dc)}, gauge {_degrees(log.how.gauge_dc)}" if _warm(log) else ""
    return LoggedSize(sum(ends) // len(ends), _named(log, tool), words, interval=interval)


def _at_20(build: BuildView, tool: Instrument, log: Log, nm: int | None) -> int | None:
    """The bore at 20 C that a plug of this size just fits, as warm as both were."""
    if nm is None or log.how.work_dc is None or log.how.gauge_dc is None:
        return nm
    work = Warmth(log.how.work_dc / 10, alpha_of(build, "bore"))
    gauge = Warmth(log.how.gauge_dc / 10, tool.alpha_per_k)
    return corrected_to_20_c(nm, work, gauge, build.unit).nm


def _named(log: Log, tool: Instrument | None) -> str:
    """The instrument as it is remembered: as typed, else by its name in the list."""
    return log.instrument or (tool.name if tool else "")


def _warm(log: Log) -> bool:
    return log.how.work_dc is not None and log.how.gauge_dc is not None


def _degrees(dc: int | None) -> str:
    return f"{(dc or 0) / 10:g} C"


def _how_words(build: BuildView, log: Log, tool: Instrument | None, sized: Sized) -> str:
    """The corrections and how sure the mean is, for the journal."""
    said = []
    if log.how.plugs:
        said.append("over plugs of " + " and ".join(plug.text for plug in log.how.plugs))
    if tool is not None and tool.zero_offset_nm:
        said.append(f"zero offset {show_offset(tool.zero_offset_nm, build.unit)} taken off")
    if _warm(log):
        said.append(f"work {_degrees(log.how.work_dc)}, gauge {_degrees(log.how.gauge_dc)}")
    if sized.correction_nm:
        said.append(f"corrected by {show_offset(sized.correction_nm, build.unit)} in all")
    return "".join(f"; {one}" for one in said)


def sure_words(size: LoggedSize, build: BuildView) -> str:
    """How sure the mean is, for the journal."""
    return (
        f", give or take {show_small(size.expanded_nm, build.unit)}" if size.expanded_nm is not None else ""
    )


def found_words(size: LoggedSize, build: BuildView) -> str:
    """The mean, or what the plugs leave open."""
    if size.interval is not None:
        return size.interval.words(build.unit)
    return f"mean {show(size.mean_nm, build.unit)}{sure_words(size, build)}"

"""Reading the workshop's lathes, drilling machines and chucks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select
from sqlmodel import Session, col

from domain.cutting.spindle import MachineKind, MachineTool
from domain.cutting.swing import JawReach, SwingChuck, SwingLathe
from domain.lengths import Unit, show
from webapp.models import Chuck, Machine

_MACHINES = select(
    col(Machine.id),
    col(Machine.name),
    col(Machine.kind),
    col(Machine.speeds),
    col(Machine.motor_w),
    col(Machine.least_feed_nm),
    col(Machine.centre_height_nm),
    col(Machine.gap_radius_nm),
    col(Machine.gap_width_nm),
    col(Machine.retired),
    col(Machine.version),
).order_by(col(Machine.id))
_CHUCKS = select(
    col(Chuck.id),
    col(Chuck.name),
    col(Chuck.body_nm),
    col(Chuck.depth_nm),
    col(Chuck.jaw_length_nm),
    col(Chuck.normal_outside_nm),
    col(Chuck.normal_inside_nm),
    col(Chuck.reversed_outside_nm),
    col(Chuck.reversed_inside_nm),
    col(Chuck.screw_nm),
    col(Chuck.retired),
    col(Chuck.version),
).order_by(col(Chuck.id))
_NOT_KNOWN = "not known"


@dataclass(frozen=True, slots=True)
class MachineView:
    """A machine of the workshop, and what the domain knows it as; no lathe where its centre height is not known."""

    id: int
    tool: MachineTool
    lathe: SwingLathe | None
    retired: bool
    version: int

    @property
    def name(self) -> str:
        """What it is called."""
        return self.tool.name

    @property
    def is_lathe(self) -> bool:
        """Whether the work turns in it."""
        return self.tool.kind is MachineKind.LATHE


@dataclass(frozen=True, slots=True)
class ChuckView:
    """A chuck of the workshop, and what the domain knows it as."""

    id: int
    name: str
    chuck: SwingChuck
    screw_nm: int | None
    retired: bool
    version: int


def list_machines(session: Session, *, retired: bool = True) -> tuple[MachineView, ...]:
    """Every lathe and drilling machine, in the order they were put down; without the retired ones if not wanted."""
    rows: Sequence[Any] = session.connection().execute(_MACHINES).all()
    return tuple(_machine(row) for row in rows if retired or not row.retired)


def _machine(row: Any) -> MachineView:
    speeds = tuple(float(text) for text in row.speeds.split())
    tool = MachineTool(row.name, MachineKind(row.kind), speeds, row.motor_w, row.least_feed_nm or 0)
    lathe = None
    if row.centre_height_nm is not None:
        lathe = SwingLathe(row.centre_height_nm, row.gap_radius_nm, row.gap_width_nm)
    return MachineView(row.id, tool, lathe, row.retired, row.version)


def list_chucks(session: Session, *, retired: bool = True) -> tuple[ChuckView, ...]:
    """Every chuck, in the order they were put down; without the retired ones if not wanted."""
    rows: Sequence[Any] = session.connection().execute(_CHUCKS).all()
    return tuple(_chuck(row) for row in rows if retired or not row.retired)


def _chuck(row: Any) -> ChuckView:
    chuck = SwingChuck(
        row.body_nm,
        row.depth_nm,
        JawReach(row.normal_outside_nm, row.normal_inside_nm),
        JawReach(row.reversed_outside_nm, row.reversed_inside_nm),
        row.jaw_length_nm,
    )
    return ChuckView(row.id, row.name, chuck, row.screw_nm, row.retired, row.version)


def machine_facts(view: MachineView, unit: Unit) -> tuple[tuple[str, str], ...]:
    """A machine's figures in words."""
    tool = view.tool
    facts = [
        ("Spindle speeds, rpm", ", ".join(f"{speed:g}" for speed in tool.speeds)),
        ("Motor", _NOT_KNOWN if tool.motor_w is None else f"{tool.motor_w:g} W"),
        ("Smallest feed a turn", show(tool.least_feed_nm, unit) if tool.least_feed_nm else "fed by hand"),
    ]
    if not view.is_lathe:
        return tuple(facts)
    lathe = view.lathe
    facts.append(("Centre height", _NOT_KNOWN if lathe is None else show(lathe.centre_height_nm, unit)))
    if lathe is not None and lathe.gap_radius_nm is not None and lathe.gap_width_nm is not None:
        gap = f"{show(lathe.gap_radius_nm, unit)} deep, {show(lathe.gap_width_nm, unit)} long"
        facts.append(("Gap", f"{gap}, from the axis and from the spindle's nose"))
    elif lathe is not None:
        facts.append(("Gap", "none"))
    return tuple(facts)


def chuck_facts(view: ChuckView, unit: Unit) -> tuple[tuple[str, str], ...]:
    """A chuck's figures in words."""
    chuck = view.chuck

    def known(nm: int | None) -> str:
        return _NOT_KNOWN if nm is None else show(nm, unit)

    return (
        ("Body", known(chuck.body_nm)),
        ("Spindle's nose to its face", known(chuck.depth_nm)),
        ("Length of a jaw", known(chuck.jaw_length_nm)),
        ("Jaws normal, reach gripping an outside", known(chuck.normal.outside_nm)),
        ("Jaws normal, reach gripping an inside", known(chuck.normal.inside_nm)),
        ("Jaws reversed, reach gripping an outside", known(chuck.reversed.outside_nm)),
        ("Jaws reversed, reach gripping an inside", known(chuck.reversed.inside_nm)),
        ("One turn of a jaw's screw", known(view.screw_nm)),
    )


@dataclass(frozen=True, slots=True)
class ThingCard:
    """A machine or a chuck as the Workshop sheet shows it."""

    id: int
    name: str
    kind: str
    version: int
    facts: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class MachinesSheet:
    """The workshop's machines and chucks, those in use and those retired."""

    machines: tuple[ThingCard, ...]
    retired_machines: tuple[ThingCard, ...]
    chucks: tuple[ThingCard, ...]
    retired_chucks: tuple[ThingCard, ...]


def machines_sheet(session: Session, unit: Unit) -> MachinesSheet:
    """Everything on the lists of machines and chucks."""
    machines, chucks = list_machines(session), list_chucks(session)
    of = {
        view: ThingCard(view.id, view.name, view.tool.kind.words, view.version, machine_facts(view, unit))
        for view in machines
    }
    held = {
        view: ThingCard(view.id, view.name, "independent chuck", view.version, chuck_facts(view, unit))
        for view in chucks
    }
    return MachinesSheet(
        tuple(card for view, card in of.items() if not view.retired),
        tuple(card for view, card in of.items() if view.retired),
        tuple(card for view, card in held.items() if not view.retired),
        tuple(card for view, card in held.items() if view.retired),
    )

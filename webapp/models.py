"""The tables. Lengths are integer nanometres, times are aware UTC; no table model is ever a form model."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import (
    CheckConstraint,
    DateTime,
    Dialect,
    Index,
    MetaData,
    TypeDecorator,
    UniqueConstraint,
    text,
)
from sqlmodel import Field, SQLModel

SQLModel.metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)


class UtcDateTime(TypeDecorator[datetime]):
    """Stores UTC without a zone (SQLite has none to keep) and gives aware UTC back."""

    impl = DateTime
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Refuse a naive time rather than guess its zone."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a stored time must be aware")
        return value.astimezone(UTC).replace(tzinfo=None)

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[str | None], datetime | None]:
        """Give the zone back, in reading: to put it in later takes ten times as long, and a build has hundreds."""
        return lambda text: None if text is None else datetime.fromisoformat(f"{text}Z")


def _time() -> Any:
    return Field(sa_type=UtcDateTime)


def _permanent_id() -> Any:
    """What tells a row apart for good, also in another file; triggers in the database give it and keep it."""
    return Field(default="", unique=True, index=True, sa_column_kwargs={"server_default": ""})


class Build(SQLModel, table=True):
    """One locomotive's wheels."""

    __table_args__ = (
        CheckConstraint("unit IN ('mm', 'in')", name="unit"),
        CheckConstraint("lead IN ('left', 'right')", name="lead"),
        CheckConstraint("fit IN ('press', 'shrink', 'bond')", name="fit"),
        CheckConstraint(
            "route IN ('fitted_first', 'mandrel_first', 'front_first', 'between_centres')", name="route"
        ),
        # No number twice: a page of a build that was deleted must find no other.
        {"sqlite_autoincrement": True},
    )

    id: int | None = Field(default=None, primary_key=True)
    name: str
    standard: str
    unit: str
    quarter_angle_udeg: int
    lead: str
    fit: str
    route: str
    iron: str
    # Painted in the rough, before any cut.
    paint_first: bool = Field(default=False, sa_column_kwargs={"server_default": "0"})
    invented: bool = False
    # Put away: out of the list of builds, and not written to until it is brought back.
    archived: bool = Field(default=False, sa_column_kwargs={"server_default": "0"})
    version: int = 1
    created_at: datetime = _time()
    permanent_id: str = _permanent_id()


class PatternRow(SQLModel, table=True):
    """A pattern of wheel: castings of one pattern can take each other's places, others cannot."""

    __tablename__ = "pattern"
    __table_args__ = (
        UniqueConstraint("build_id", "name"),
        CheckConstraint("kind IN ('driving', 'coupled', 'carrying', 'bogie', 'tender')", name="kind"),
    )

    id: int | None = Field(default=None, primary_key=True)
    build_id: int = Field(foreign_key="build.id", index=True, ondelete="CASCADE")
    name: str
    kind: str


class DimensionRow(SQLModel, table=True):
    """One figure of the drawing, as typed and in nanometres; the track's are of no pattern."""

    __tablename__ = "dimension"
    __table_args__ = (
        Index("uq_dimension_of_pattern", "pattern_id", "key", unique=True),
        Index(
            "uq_dimension_of_track", "build_id", "key", unique=True, sqlite_where=text("pattern_id IS NULL")
        ),
    )

    id: int | None = Field(default=None, primary_key=True)
    build_id: int = Field(foreign_key="build.id", index=True, ondelete="CASCADE")
    pattern_id: int | None = Field(default=None, foreign_key="pattern.id", ondelete="CASCADE")
    key: str
    nm: int
    text: str


class Axle(SQLModel, table=True):
    """One axle, numbered from the leading end."""

    # Never use an axle's id twice: the journal remembers axles that were taken out of the build.
    __table_args__ = (UniqueConstraint("build_id", "number"), {"sqlite_autoincrement": True})

    id: int | None = Field(default=None, primary_key=True)
    build_id: int = Field(foreign_key="build.id", index=True, ondelete="CASCADE")
    pattern_id: int = Field(foreign_key="pattern.id")
    number: int
    # Whether it has centres in both ends; not said until somebody looked.
    centred: bool | None = None
    version: int = 1
    permanent_id: str = _permanent_id()


class AxleItem(SQLModel, table=True):
    """One thing that goes on an axle before its second wheel, and who put it on and when."""

    __tablename__ = "axle_item"
    __table_args__ = (
        UniqueConstraint("axle_id", "name"),
        CheckConstraint(
            "kind IN ('axlebox', 'eccentric', 'gear', 'pump_drive', 'spacer', 'other')", name="kind"
        ),
        CheckConstraint("along IN ('left', 'middle', 'right')", name="along"),
        CheckConstraint("(width_nm IS NULL) = (width_text IS NULL)", name="width"),
        CheckConstraint("(on_who IS NULL) = (on_at IS NULL)", name="put_on"),
    )

    id: int | None = Field(default=None, primary_key=True)
    axle_id: int = Field(foreign_key="axle.id", index=True, ondelete="CASCADE")
    name: str
    kind: str
    along: str
    # In halves, so that it can go on after the wheels too.
    split: bool
    # How much of the axle's length it takes, where that was said.
    width_nm: int | None = None
    width_text: str | None = None
    on_who: str | None = None
    on_at: datetime | None = Field(default=None, sa_type=UtcDateTime)


class Casting(SQLModel, table=True):
    """One iron casting. A scrapped one remembers the place it had, so that scrapping can be undone."""

    __table_args__ = (
        UniqueConstraint("build_id", "mark"),
        UniqueConstraint("axle_id", "side"),
        CheckConstraint("state IN ('in_work', 'spare', 'scrapped')", name="state"),
        CheckConstraint("side IN ('left', 'right')", name="side"),
        CheckConstraint("(state = 'in_work') = (axle_id IS NOT NULL)", name="place"),
        CheckConstraint("(axle_id IS NULL) = (side IS NULL)", name="whole_place"),
        {"sqlite_autoincrement": True},
    )

    id: int | None = Field(default=None, primary_key=True)
    build_id: int = Field(foreign_key="build.id", index=True, ondelete="CASCADE")
    pattern_id: int = Field(foreign_key="pattern.id")
    mark: str
    state: str
    axle_id: int | None = Field(default=None, foreign_key="axle.id")
    side: str | None = None
    scrap_reason: str = ""
    scrapped_from_axle_id: int | None = Field(default=None, foreign_key="axle.id", ondelete="SET NULL")
    scrapped_from_side: str | None = None
    version: int = 1
    permanent_id: str = _permanent_id()


class Tick(SQLModel, table=True):
    """A stage or a step ticked on one casting."""

    casting_id: int = Field(foreign_key="casting.id", primary_key=True, ondelete="CASCADE")
    key: str = Field(primary_key=True)
    at: datetime = _time()
    who: str
    # What was asked before it was ticked all the same, and why it was; empty where nothing was in doubt.
    let_pass: str = Field(default="", sa_column_kwargs={"server_default": ""})
    reason: str = Field(default="", sa_column_kwargs={"server_default": ""})
    # When the device says it was ticked, where it could be sent only later.
    device_at: datetime | None = Field(default=None, sa_type=UtcDateTime)


class Quartering(SQLModel, table=True):
    """An axle ticked quartered; it holds for just the two castings that were on it."""

    __table_args__ = (UniqueConstraint("axle_id", "left_casting_id", "right_casting_id"),)

    id: int | None = Field(default=None, primary_key=True)
    axle_id: int = Field(foreign_key="axle.id", ondelete="CASCADE")
    left_casting_id: int = Field(foreign_key="casting.id", ondelete="CASCADE")
    right_casting_id: int = Field(foreign_key="casting.id", ondelete="CASCADE")
    at: datetime = _time()
    who: str
    let_pass: str = Field(default="", sa_column_kwargs={"server_default": ""})
    reason: str = Field(default="", sa_column_kwargs={"server_default": ""})


def unit_of(kind: str) -> str:
    """What a kind of measurement is in, by the end of its name: the table holds every row to it."""
    ends = {"weight": "mg", "angle": "udeg"}
    return next((unit for end, unit in ends.items() if kind.endswith(end)), "nm")


class Measurement(SQLModel, table=True):
    """What was measured at one go of a casting or an axle, with its readings; never overwritten.

    A correction supersedes the row that was misread. A later state of the same metal does not: of the rows that
    stand the last of its kind is the present one. A row struck out counts for nothing, and what it corrected stands again.
    """

    __table_args__ = (
        CheckConstraint("(casting_id IS NULL) <> (axle_id IS NULL)", name="of_one_thing"),
        CheckConstraint("kind NOT IN ('bore', 'throw') OR casting_id IS NOT NULL", name="of_casting"),
        CheckConstraint("kind <> 'seat' OR side IS NOT NULL", name="seat_of_end"),
        CheckConstraint("side IS NULL OR (axle_id IS NOT NULL AND side IN ('left', 'right'))", name="side"),
        CheckConstraint(
            "(left_casting_id IS NULL) = (right_casting_id IS NULL)"
            " AND (left_casting_id IS NULL OR axle_id IS NOT NULL)",
            name="pair",
        ),
        CheckConstraint(
            "unit = CASE WHEN kind GLOB '*weight' THEN 'mg' WHEN kind GLOB '*angle' THEN 'udeg' ELSE 'nm' END",
            name="unit",
        ),
        CheckConstraint("value IS NULL OR (low IS NULL AND high IS NULL)", name="value_or_interval"),
        CheckConstraint(
            "(struck_out_at IS NULL) = (struck_out_by IS NULL)"
            " AND (struck_out_at IS NULL) = (struck_out_why IS NULL)",
            name="struck_out",
        ),
        # One correction of a row counts; another may take the place of one that was struck out.
        Index(
            "uq_measurement_supersedes_id",
            "supersedes_id",
            unique=True,
            sqlite_where=text("struck_out_at IS NULL"),
        ),
        # However often a thing was measured, a build is read by what stands.
        Index(
            "ix_measurement_stands",
            *("build_id", "left_casting_id", "casting_id", "receipt_id", "axle_id", "side", "kind"),
            sqlite_where=text("struck_out_at IS NULL AND superseded = 0"),
        ),
        Index(
            "ix_measurement_reamed",
            *("reamer_id", "value", "instrument_id"),
            sqlite_where=text("reamer_id IS NOT NULL AND struck_out_at IS NULL AND superseded = 0"),
        ),
    )

    id: int | None = Field(default=None, primary_key=True)
    build_id: int = Field(foreign_key="build.id", index=True, ondelete="CASCADE")
    kind: str
    casting_id: int | None = Field(default=None, foreign_key="casting.id", index=True, ondelete="CASCADE")
    axle_id: int | None = Field(default=None, foreign_key="axle.id", index=True, ondelete="CASCADE")
    side: str | None = None
    # What was measured of an axle with just these two wheels on it counts only while they are.
    left_casting_id: int | None = Field(default=None, foreign_key="casting.id", ondelete="CASCADE")
    right_casting_id: int | None = Field(default=None, foreign_key="casting.id", ondelete="CASCADE")
    # Written down as the casting was received.
    receipt_id: int | None = Field(default=None, foreign_key="receipt.id", ondelete="CASCADE")
    # Of `value`, `low`, `high`, `expanded` and the readings.
    unit: str = "nm"
    # As corrected when it was logged. A set of readings that only together say something has none.
    value: int | None = None
    # A plug gauge gives no value but what the size lies between; either end may be open.
    low: int | None = None
    high: int | None = None
    # The expanded uncertainty; of a set, of each of its readings. Not known without an instrument.
    expanded: int | None = None
    instrument: str = ""
    instrument_id: int | None = Field(default=None, foreign_key="instrument.id")
    reamer_id: int | None = Field(default=None, foreign_key="reamer.id")
    # Tenths of a degree Celsius; not said means work and gauge were taken to be at 20.
    work_dc: int | None = None
    gauge_dc: int | None = None
    plug_one_nm: int | None = None
    plug_two_nm: int | None = None
    who: str
    at: datetime = _time()
    supersedes_id: int | None = Field(default=None, foreign_key="measurement.id")
    struck_out_why: str | None = None
    struck_out_by: str | None = None
    struck_out_at: datetime | None = Field(default=None, sa_type=UtcDateTime)
    # Whether a correction stands in for it. Triggers in the database keep it, and nobody else writes it.
    superseded: bool = Field(default=False, sa_column_kwargs={"server_default": "0"})


class Reading(SQLModel, table=True):
    """One reading of a measurement, as typed; never overwritten.

    Its value is what was read, or in a set without a value of its own what that comes to. A size read once has its
    text only: what it comes to is the measurement's value.
    """

    measurement_id: int = Field(foreign_key="measurement.id", primary_key=True, ondelete="CASCADE")
    ordinal: int = Field(primary_key=True)
    value: int | None = None
    text: str
    place: str | None = None
    direction: str | None = None


class JournalLine(SQLModel, table=True):
    """One thing done, in words. Triggers in the database forbid changing a line, and deleting one but with its whole build.

    The axle is remembered without a foreign key: an axle taken out of the build keeps its history.
    """

    __tablename__ = "journal_line"
    __table_args__ = (
        Index("ix_journal_line_casting_id_version", "casting_id", "version"),
        # The newest lines of each are found without looking at others.
        Index("ix_journal_line_of_casting", "casting_id"),
        Index("ix_journal_line_of_axle", "axle_id", sqlite_where=text("casting_id IS NULL")),
        Index(
            "ix_journal_line_of_build",
            "build_id",
            sqlite_where=text("casting_id IS NULL OR axle_id IS NULL"),
        ),
    )

    id: int | None = Field(default=None, primary_key=True)
    build_id: int = Field(foreign_key="build.id", index=True)
    casting_id: int | None = Field(default=None, foreign_key="casting.id")
    axle_id: int | None = None
    kind: str
    sentence: str
    at: datetime = _time()
    who: str
    device: str
    page: str
    version: int
    # When the device says it was done, where it could be sent only later.
    device_at: datetime | None = Field(default=None, sa_type=UtcDateTime)


class Submission(SQLModel, table=True):
    """A form already taken, by its token: sent again, it is answered and not repeated."""

    token: str = Field(primary_key=True)
    answer: str
    content: str = Field(default="", sa_column_kwargs={"server_default": ""})
    at: datetime = _time()


class InstrumentRow(SQLModel, table=True):
    """One measuring instrument of the workshop; a plug gauge has two sizes and no scale."""

    __tablename__ = "instrument"
    __table_args__ = (
        CheckConstraint("kind IN ('value', 'plug')", name="kind"),
        CheckConstraint("reach IN ('inside', 'outside', 'both')", name="reach"),
    )

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    kind: str
    reach: str
    resolution_nm: int
    expanded_nm: int
    zero_offset_nm: int = 0
    go_nm: int | None = None
    not_go_nm: int | None = None
    alpha_ppb: int
    note: str = ""
    checked_on: str = ""
    retired: bool = False
    version: int = 1
    permanent_id: str = _permanent_id()


class ReamerRow(SQLModel, table=True):
    """One reamer of the workshop; what it cuts is learnt from the bores logged with it."""

    __tablename__ = "reamer"

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    nominal_nm: int
    text: str
    retired: bool = False
    permanent_id: str = _permanent_id()


class DrillRow(SQLModel, table=True):
    """One drill of the workshop."""

    __tablename__ = "drill"

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    nominal_nm: int
    text: str
    retired: bool = False


class JigRow(SQLModel, table=True):
    """One drilling jig of the workshop; what a hole was drilled with is kept as set on its wheel, by the jig's name."""

    __tablename__ = "jig"

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    throw_nm: int
    plug_nm: int
    bush_nm: int
    checked_on: str = ""
    retired: bool = False
    version: int = 1


class JointFigure(SQLModel, table=True):
    """One figure that a build's joints are judged by beyond the drawing: loads, friction, the compound's sheet."""

    __tablename__ = "joint_figure"

    build_id: int = Field(foreign_key="build.id", primary_key=True, ondelete="CASCADE")
    key: str = Field(primary_key=True)
    text: str


class PairingRow(SQLModel, table=True):
    """A marriage of wheels and seats applied in one go, and whether it was undone."""

    __tablename__ = "pairing"

    id: int | None = Field(default=None, primary_key=True)
    build_id: int = Field(foreign_key="build.id", index=True, ondelete="CASCADE")
    at: datetime = _time()
    who: str
    undone_by: str = ""


class PairingMove(SQLModel, table=True):
    """One casting that a pairing moved; no place means the spares."""

    __tablename__ = "pairing_move"

    pairing_id: int = Field(foreign_key="pairing.id", primary_key=True, ondelete="CASCADE")
    casting_id: int = Field(foreign_key="casting.id", primary_key=True, ondelete="CASCADE")
    from_axle_id: int | None = None
    from_side: str | None = None
    to_axle_id: int | None = None
    to_side: str | None = None


class WorkFigure(SQLModel, table=True):
    """One figure of how a build is machined, as typed: cuts, allowances, feeds, how many to order."""

    __tablename__ = "work_figure"

    build_id: int = Field(foreign_key="build.id", primary_key=True, ondelete="CASCADE")
    key: str = Field(primary_key=True)
    text: str


class Receipt(SQLModel, table=True):
    """What was seen on a casting as it came; the last one written stands, the earlier ones stay on record.

    What was measured of it then, its weight among it, are measurements that name the receipt.
    """

    id: int | None = Field(default=None, primary_key=True)
    build_id: int = Field(foreign_key="build.id", index=True, ondelete="CASCADE")
    casting_id: int = Field(foreign_key="casting.id", ondelete="CASCADE")
    blowhole: bool = False
    chill: bool = False
    shift: bool = False
    crack: bool = False
    note: str = ""
    who: str
    at: datetime = _time()


class Truing(SQLModel, table=True):
    """One setting up of a casting in the independent chuck; its rounds of readings belong to it."""

    __table_args__ = (
        CheckConstraint("outward IN ('back', 'front')", name="outward"),
        CheckConstraint("surface IN ('inside', 'outside')", name="surface"),
        CheckConstraint("grip IN ('on_outside', 'on_inside')", name="grip"),
        CheckConstraint(
            "(dial_unit IS NULL) = (division_nm IS NULL) AND (dial_unit IS NULL) = (tolerance_nm IS NULL)",
            name="dial",
        ),
    )

    id: int | None = Field(default=None, primary_key=True)
    casting_id: int = Field(foreign_key="casting.id", index=True, ondelete="CASCADE")
    outward: str
    surface: str
    grip: str
    # Without a dial it is set true by eye, with a point.
    dial_unit: str | None = None
    division_nm: int | None = None
    tolerance_nm: int | None = None
    # How far one turn of a jaw's screw moves the jaw; not said means the dial alone is the guide.
    screw_nm: int | None = None
    # What the form said the dial does when the plunger goes in.
    counts_up: bool = True
    done: bool = False
    who: str
    at: datetime = _time()


class TruingRound(SQLModel, table=True):
    """One round of readings: a dial on the rim's edge (radial) or on its face at a radius, or a look by eye."""

    __tablename__ = "truing_round"
    __table_args__ = (CheckConstraint("kind IN ('radial', 'face', 'eye')", name="kind"),)

    id: int | None = Field(default=None, primary_key=True)
    truing_id: int = Field(foreign_key="truing.id", index=True, ondelete="CASCADE")
    kind: str
    radius_nm: int | None = None
    # A round struck out by its writer stays on record and counts for nothing.
    struck_out: bool = False
    who: str
    at: datetime = _time()


class DialReadingRow(SQLModel, table=True):
    """One reading of a round, at an angle clockwise from jaw 1, as typed and in nanometres; by eye it has no figure."""

    __tablename__ = "dial_reading"

    round_id: int = Field(foreign_key="truing_round.id", primary_key=True, ondelete="CASCADE")
    ordinal: int = Field(primary_key=True)
    angle_udeg: int
    nm: int | None = None
    text: str


class Machine(SQLModel, table=True):
    """A lathe or a drilling machine of the workshop."""

    __table_args__ = (CheckConstraint("kind IN ('lathe', 'drill')", name="kind"),)

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    kind: str
    # Spindle speeds in turns a minute as typed, with a space between two.
    speeds: str
    motor_w: int | None = None
    least_feed_nm: int | None = None
    centre_height_nm: int | None = None
    gap_radius_nm: int | None = None
    gap_width_nm: int | None = None
    retired: bool = False
    version: int = 1


class Chuck(SQLModel, table=True):
    """An independent chuck of the workshop."""

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    body_nm: int
    # From the spindle nose to the chuck's face.
    depth_nm: int
    jaw_length_nm: int | None = None
    # How far a jaw stands out from what it grips: as it is set and which way it grips; measured when first needed.
    normal_outside_nm: int | None = None
    normal_inside_nm: int | None = None
    reversed_outside_nm: int | None = None
    reversed_inside_nm: int | None = None
    screw_nm: int | None = None
    retired: bool = False
    version: int = 1


class StrokeCount(SQLModel, table=True):
    """A facing by hand strokes that was begun: how many strokes it takes and how many are done."""

    __tablename__ = "stroke_count"

    id: int | None = Field(default=None, primary_key=True)
    casting_id: int = Field(foreign_key="casting.id", index=True, ondelete="CASCADE")
    wanted: int
    done: int = 0
    width_text: str
    feed_text: str
    depth_text: str = ""
    cut_text: str = ""
    closed: bool = False
    who: str
    at: datetime = _time()


class WorkBatch(SQLModel, table=True):
    """One set-up served to several wheels, one after the other."""

    __tablename__ = "work_batch"

    id: int | None = Field(default=None, primary_key=True)
    build_id: int = Field(foreign_key="build.id", index=True, ondelete="CASCADE")
    key: str
    words: str
    who: str
    at: datetime = _time()
    ended: bool = False


class WorkBatchWheel(SQLModel, table=True):
    """A wheel's turn in a batch."""

    __tablename__ = "work_batch_wheel"

    batch_id: int = Field(foreign_key="work_batch.id", primary_key=True, ondelete="CASCADE")
    ordinal: int = Field(primary_key=True)
    casting_id: int = Field(foreign_key="casting.id", ondelete="CASCADE")
    passed: bool = False


class SettingRow(SQLModel, table=True):
    """One thing that was set for an operation on a casting, as typed; the last of its key stands, an empty one says nothing.

    Never overwritten: the rows before tell what was set for an earlier reading.
    """

    __tablename__ = "setting"
    __table_args__ = (
        CheckConstraint("unit IN ('nm', 'milli_per_min')", name="unit"),
        CheckConstraint("(value IS NULL) = (unit IS NULL)", name="value_with_unit"),
        Index("ix_setting_stands", "casting_id", "operation", "key", "id"),
    )

    id: int | None = Field(default=None, primary_key=True)
    casting_id: int = Field(foreign_key="casting.id", ondelete="CASCADE")
    operation: str
    key: str
    text: str
    # What is said in words has none; turns and strokes are in thousandths a minute.
    value: int | None = None
    unit: str | None = None
    who: str
    at: datetime = _time()


class Stub(SQLModel, table=True):
    """A stub that the wheels of a pattern are turned on, one after the other: how it holds them, its size and run-out."""

    __table_args__ = (
        CheckConstraint(
            "hold IN ('bond', 'push', 'expanding', 'collet', 'centres', 'spigot')",
            name="hold",
        ),
        CheckConstraint("(hold = 'centres') = (nm IS NULL)", name="size"),
    )

    id: int | None = Field(default=None, primary_key=True)
    build_id: int = Field(foreign_key="build.id", index=True, ondelete="CASCADE")
    pattern_id: int = Field(foreign_key="pattern.id")
    hold: str
    nm: int | None = None
    text: str = ""
    # What the dial swings in a whole turn; doubted once the stub was taken out and put back.
    swing_nm: int | None = None
    swing_text: str = ""
    put_back: bool = False
    # The dial's reading that every finishing cut is taken at.
    dial_text: str = ""
    ended: bool = False
    who: str
    at: datetime = _time()


class StubTurn(SQLModel, table=True):
    """A wheel's time on a stub: on since, running centre in, off, and cleaned."""

    __tablename__ = "stub_turn"

    id: int | None = Field(default=None, primary_key=True)
    stub_id: int = Field(foreign_key="stub.id", index=True, ondelete="CASCADE")
    casting_id: int = Field(foreign_key="casting.id", index=True, ondelete="CASCADE")
    on_at: datetime = _time()
    on_by: str
    # Its time was taken from a clock that could not be trusted, so no cure is counted from it.
    untimed: bool = False
    centred_at: datetime | None = Field(default=None, sa_type=UtcDateTime)
    off_at: datetime | None = Field(default=None, sa_type=UtcDateTime)
    off_by: str = ""
    cleaned_at: datetime | None = Field(default=None, sa_type=UtcDateTime)


class RodFigure(SQLModel, table=True):
    """One figure of the rods between an axle and the next: a centre distance, a rod's length, a bush's clearance."""

    __tablename__ = "rod_figure"
    __table_args__ = (CheckConstraint("side IN ('left', 'right')", name="side"),)

    axle_id: int = Field(foreign_key="axle.id", primary_key=True, ondelete="CASCADE")
    side: str = Field(primary_key=True)
    key: str = Field(primary_key=True)
    build_id: int = Field(foreign_key="build.id", index=True, ondelete="CASCADE")
    nm: int
    text: str


class TakenBack(SQLModel, table=True):
    """Finished wheels taken back to be re-turned; what was measured of their tyres up to then is of an earlier life."""

    __tablename__ = "taken_back"

    id: int | None = Field(default=None, primary_key=True)
    build_id: int = Field(foreign_key="build.id", index=True, ondelete="CASCADE")
    # The day it came out of service, as 2026-11-29.
    out_on: str
    # What it did, and why it is turned again.
    service: str
    # The diameter that all of them are turned to now.
    nm: int
    text: str
    # The last that was measured of these wheels before.
    measured_to_id: int = Field(foreign_key="measurement.id")
    who: str
    at: datetime = _time()


class TakenBackTick(SQLModel, table=True):
    """A tick that a wheel lost as it was taken back, as it stood."""

    __tablename__ = "taken_back_tick"

    taken_back_id: int = Field(foreign_key="taken_back.id", primary_key=True, ondelete="CASCADE")
    casting_id: int = Field(foreign_key="casting.id", primary_key=True, ondelete="CASCADE")
    key: str = Field(primary_key=True)
    at: datetime = _time()
    who: str
    let_pass: str = Field(default="", sa_column_kwargs={"server_default": ""})
    reason: str = Field(default="", sa_column_kwargs={"server_default": ""})
    device_at: datetime | None = Field(default=None, sa_type=UtcDateTime)


class NoteRow(SQLModel, table=True):
    """A note on a casting or an axle, with a photo or without; taken away it is gone, and the journal says what it said."""

    __tablename__ = "note"
    __table_args__ = (CheckConstraint("(casting_id IS NULL) <> (axle_id IS NULL)", name="of_one_thing"),)

    id: int | None = Field(default=None, primary_key=True)
    build_id: int = Field(foreign_key="build.id", index=True, ondelete="CASCADE")
    casting_id: int | None = Field(default=None, foreign_key="casting.id", index=True, ondelete="CASCADE")
    axle_id: int | None = Field(default=None, foreign_key="axle.id", index=True, ondelete="CASCADE")
    # The last stage that was ticked then; none where nothing was.
    stage: str | None = None
    # Empty where the photo says it all.
    words: str = ""
    who: str
    at: datetime = _time()
    permanent_id: str = _permanent_id()


class PhotoRow(SQLModel, table=True):
    """The photo of a note, as JPEG (`webapp/typed/photos.py`): apart, so that a list of notes reads no pictures."""

    __tablename__ = "photo"
    __table_args__ = (CheckConstraint("length(jpeg) <= 1000000", name="size"),)

    note_id: int = Field(foreign_key="note.id", primary_key=True, ondelete="CASCADE")
    # The small one first: SQLite reads a row from its beginning.
    small: bytes
    jpeg: bytes


class WriteMark(SQLModel, table=True):
    """One row, changed in every write: the mark of the last write and of the one before (`webapp/datafile.py`)."""

    __tablename__ = "write_mark"

    id: int = Field(primary_key=True)
    earlier: bytes
    latest: bytes

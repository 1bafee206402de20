"""A profile for the top slide or a read-out: the angles to set, and a table of places and diameters."""

import math
from dataclasses import dataclass
from enum import StrEnum

from domain.lengths import NM_PER_MM
from domain.treads.profile import NOTHING_MM, Arc, Line, Point, Profile, Segment, check_angles
from domain.treads.wheel_standard import TreadError
from domain.working import Working

# A longer table is not worked through by anybody: common practice, no source.
MOST_ROWS = 1000


class TableOrigin(StrEnum):
    """Where the table counts from: from a face into the metal, from the gauge point towards the front."""

    BACK_FACE = "back face"
    GAUGE_POINT = "gauge point"
    FRONT_FACE = "front face"


@dataclass(frozen=True)
class Row:
    """One place on the profile, nm: along from the origin, radius, diameter, and how far above the tread's level."""

    part: str
    along_nm: int
    radius_nm: int
    diameter_nm: int
    above_tread_nm: int


@dataclass(frozen=True)
class FormAngles:
    """The angles to set, degrees: the top slide from the axle's line, the whole cone, the flange face from square.

    cone: N of 1 in N, None for a straight tread.
    """

    cone: float | None
    top_slide_deg: float
    included_deg: float
    flange_face_deg: float
    workings: tuple[Working, ...]


def coordinates(
    profile: Profile,
    *,
    chord_nm: int | None = None,
    step_nm: int | None = None,
    origin: TableOrigin = TableOrigin.BACK_FACE,
) -> tuple[Row, ...]:
    """The turned surface, from the flange's back to the front face, as places and diameters.

    Formula: chord: each arc in n equal parts, n >= sweep / (2 acos(1 - tolerance / R)), so that straight cuts between
    the rows leave the arc by no more than the tolerance; step: a row wherever the place is a whole number of steps from
    the origin; both ways a row wherever two parts meet.
    Parameters: `profile`; one of `chord_nm`, `step_nm`, nm > 0; `origin`.
    Raises: TreadError, field `chord` or `step`, for none or both given, not above zero, or over 1000 rows.
    Source: geometry (the height of an arc over its chord is R (1 - cos(sweep / 2n))).

    >>> from domain.treads.profile import ProfileFigures, profile
    >>> made = profile(ProfileFigures(127_000_000, 12_827_000, 3_175_000, 3_556_000, 1_841_500, edge_break_nm=600_000))
    >>> [row.diameter_nm for row in coordinates(made, step_nm=1_000_000, origin=TableOrigin.GAUGE_POINT)
    ...     if row.along_nm == 0]
    [127000000]
    """
    if (chord_nm is None) == (step_nm is None):
        raise TreadError("Choose a step or a tolerance for the table, one of the two.", field="step")
    _check_above_nothing("chord", chord_nm)
    _check_above_nothing("step", step_nm)
    zero, way = _zero(profile, origin)
    found: list[tuple[str, Point]] = []
    for part in profile.turned:
        shares = _by_chord(part, chord_nm) if chord_nm else _by_step(part, step_nm or 1, zero)
        found += [(part.name, part.at(share)) for share in shares]
    found.append((profile.turned[-1].name, profile.turned[-1].end))
    if len(found) > MOST_ROWS:
        raise _too_long("chord" if chord_nm else "step")
    level = profile.gauge_point.radius_mm
    return tuple(_row(name, at, zero, way, level) for name, at in found)


def form_angles(cone: float | None, flange_face_deg: float) -> FormAngles:
    """The angles to set the top slide or grind a form tool to.

    Formula: top slide = atan(1 / N) for a cone of 1 in N on the radius; included = twice that.
    Parameters: `cone` N, 5 or more, None for a straight tread; `flange_face_deg`, 0 to 45, from square to the axle.
    Source: geometry.

    >>> round(form_angles(20.0, 10.0).top_slide_deg, 4), round(form_angles(20.0, 10.0).included_deg, 4)
    (2.8624, 5.7248)
    """
    check_angles(cone, flange_face_deg)
    half = 0.0 if cone is None else math.degrees(math.atan(1 / cone))
    numbers = "no cone" if cone is None else f"atan(1 / {cone:g})"
    workings = (
        Working("top slide", "angle = atan(1 / N)", numbers, f"{half:.4f} degrees", "geometry"),
        Working("whole cone", "2 atan(1 / N)", f"2 * {half:.4f}", f"{2 * half:.4f} degrees", "geometry"),
    )
    return FormAngles(cone, half, 2 * half, flange_face_deg, workings)


def _row(name: str, at: Point, zero: float, way: int, level: float) -> Row:
    diameter = round(2 * at.radius_mm * NM_PER_MM)
    return Row(
        name,
        round(way * (at.along_mm - zero) * NM_PER_MM),
        round(at.radius_mm * NM_PER_MM),
        diameter,
        round((at.radius_mm - level) * NM_PER_MM),
    )


def _zero(profile: Profile, origin: TableOrigin) -> tuple[float, int]:
    if origin is TableOrigin.GAUGE_POINT:
        return profile.gauge_point.along_mm, 1
    if origin is TableOrigin.FRONT_FACE:
        return profile.figures.tyre_width_nm / NM_PER_MM, -1
    return 0.0, 1


def _by_chord(part: Segment, chord_nm: int) -> list[float]:
    """Shares of the way to put rows at, the end left to the next part."""
    if isinstance(part, Line):
        return [0.0]
    tolerance = min(chord_nm / NM_PER_MM, part.radius_mm)
    most = 2 * math.acos(1 - tolerance / part.radius_mm)
    sweep = math.radians(abs(part.to_deg - part.from_deg))
    # The hair taken off keeps a sweep that is a whole number of parts from gaining one.
    count = max(1, math.ceil(sweep / most - 1e-9))
    if count > MOST_ROWS:
        raise _too_long("chord")
    return [step / count for step in range(count)]


def _by_step(part: Segment, step_nm: int, zero: float) -> list[float]:
    step = step_nm / NM_PER_MM
    start, end = part.start.along_mm, part.end.along_mm
    if (end - start) / step > MOST_ROWS:
        raise _too_long("step")
    shares = [0.0]
    for number in range(math.ceil((start - zero) / step), math.floor((end - zero) / step) + 1):
        along = zero + number * step
        if start + NOTHING_MM < along < end - NOTHING_MM:
            shares.append(_share(part, along))
    return shares


def _share(part: Line | Arc, along_mm: float) -> float:
    return min(1.0, max(0.0, part.share_at(along_mm)))


def _check_above_nothing(field: str, nm: int | None) -> None:
    if nm is not None and nm <= 0:
        raise TreadError(f"The {field} must be more than nothing: type one such as 0.25 mm.", field=field)


def _too_long(field: str) -> TreadError:
    return TreadError(
        f"That makes a table of more than {MOST_ROWS} rows: type something larger, such as 0.25 mm.",
        field=field,
    )

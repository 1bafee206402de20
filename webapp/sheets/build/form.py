"""The form for a build: what the drawing says, checked field by field."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from domain import drawing
from domain.drawing import WheelKind
from domain.joints.fit import usual_range
from domain.joints.kinds import FitError, FitKind
from domain.joints.materials import irons
from domain.lengths import Length, Unit, bare_doubt, plain
from domain.route.stages import Route
from domain.treads.gauges import proposed_flange_nm
from domain.treads.starting_figures import starting_figures
from domain.treads.wheel_standard import WheelStandard, preset, presets
from webapp.typed.marks import proposed, read_marks
from webapp.typed.texts import Errors, Typed, read_choice, read_length, read_line, read_whole

MOST_AXLES = 12
LONGEST_NAME = 60
DEFAULT_STANDARD = "ibls-5"
DEFAULT_IRON = "en-gjl-200"
_FIT_RANGE = ("fit_least", "fit_most")
_UDEG = 1_000_000
# What a new build is asked for before anything is unfolded.
_FIRST_SCREEN = ("name", "standard", "filled_in", "axles", "fit", "who")
_STANDARD_KEYS = tuple(figure.key for figure in drawing.FIGURES if figure.of_standard)
PAINT_LAST, PAINT_FIRST = "last", "first"
# What stands as typed where nothing was typed.
USUAL = "usual range"
_OF_TYRE = {
    figure.key: figure.words for figure in drawing.FIGURES if figure.of_standard and figure.key != "gauge"
}
# These rows do not print every figure of the drawing.
_LENDERS = {"nmra-1-in-scale": "ibls-4.75", "nmra-3-4-in-scale": "ibls-3.5", "british-5": "ibls-5"}


@dataclass(frozen=True)
class Draft:
    """A build as the form gives it, checked and ready to be stored."""

    name: str
    standard: str
    unit: Unit
    quarter_angle_udeg: int
    lead: str
    fit: str
    route: Route
    iron: str
    dimensions: dict[str, Length]
    # Empty where the build has several patterns, whose own forms say which axles are theirs.
    coupled: tuple[bool, ...]
    paint_first: bool
    marks: tuple[str, ...] = ()
    # The standard was chosen after its form was drawn by another one, whose figures it took the place of.
    chosen_after: bool = False

    def own(self, kind: WheelKind, patterns: int) -> dict[str, Length]:
        """The figures of a pattern of this kind; the only one of a build keeps all that were typed."""
        figures = kind.figures if patterns > 1 else tuple(one for one in drawing.FIGURES if not one.of_track)
        keys = {one.key for one in figures}
        return {key: length for key, length in self.dimensions.items() if key in keys}


def standard_keys() -> tuple[str, ...]:
    """The keys of the wheel standards offered."""
    return tuple(standard.key for standard in presets())


@dataclass(frozen=True)
class Followed:
    """A new build's form after the standard chosen on it: what of it changed, and what of the standard's own was typed.

    `followed` were proposed and nobody had touched them, `replaced` was typed: key, and the text before.
    """

    typed: Typed
    followed: tuple[str, ...] = ()
    replaced: tuple[tuple[str, str], ...] = ()
    kept: tuple[str, ...] = ()


def as_chosen(typed: Typed, *, fill: bool = False) -> Followed:
    """A new build's form with what is proposed, and still untouched, taken from the standard that is chosen on it.

    What was typed stays; only where the standard's figures are asked for, by `fill`, do they replace those typed.
    """
    chosen, before = typed.get("standard"), typed.get("filled_in")
    if not {chosen, before} <= set(standard_keys()) or (chosen == before and not fill):
        return Followed(typed)
    old, new = starting_text(before).fields, starting_text(chosen).fields
    touched = {key for key in old if key not in _FIRST_SCREEN and typed.fields.get(key) != old[key]}
    if any(typed.get(key).strip()[-1:].isdigit() for key in touched & set(drawing.KEYS)):
        # A number alone keeps the unit it was typed in; what is proposed says its own.
        touched.add("unit")
    own = set(_STANDARD_KEYS) if fill else set()
    taken = {key for key in new if key not in _FIRST_SCREEN and (key in own or key not in touched)}
    # The axles follow the standard too, unless another number was typed.
    taken |= {"axles"} if typed.fields.get("axles") == old["axles"] else set()
    changed = [key for key in drawing.KEYS if key in taken and typed.fields.get(key) != new[key]]
    carried = {"filled_in": [chosen]}
    if chosen != before:
        carried["instead_of"] = [typed.get("instead_of") or before]
    return Followed(
        Typed({**typed.fields, **{key: new[key] for key in taken}, **carried}),
        tuple(key for key in changed if key not in touched),
        tuple((key, typed.get(key)) for key in changed if key in touched),
        tuple(key for key in drawing.KEYS if key in touched - taken and typed.get(key)),
    )


def touched_keys(typed: Typed) -> frozenset[str]:
    """What of a new build's form is no more as it was proposed."""
    if typed.get("filled_in") not in standard_keys():
        return frozenset(typed.fields)
    proposed_texts = starting_text(typed.get("filled_in")).fields
    return frozenset(key for key in typed.fields if typed.fields[key] != proposed_texts.get(key, [""]))


def starting_text(standard_key: str, name: str = "", who: str = "") -> Typed:
    """The form as a newcomer meets it: the standard's figures, and a starting point for the drawing's."""
    standard, figures = preset(standard_key), starting_figures(standard_key)
    unit = Unit(figures["unit"])
    axles = int(figures.get("coupled_axles", "3"))
    texts = {key: figures[key] for key in drawing.KEYS if key in figures}
    texts |= _standard_text(standard, unit)
    texts |= {
        "name": name[:LONGEST_NAME],
        "standard": standard_key,
        "filled_in": standard_key,
        "unit": unit.value,
        "axles": str(axles),
        "coupled": " ".join(str(n) for n in range(1, axles + 1)),
        "coupled_proposed": " ".join(str(n) for n in range(1, axles + 1)),
        "quarter_angle": "90",
        "lead": "right",
        "fit": "bond",
        "route": "fitted_first",
        "paint": PAINT_LAST,
        "iron": DEFAULT_IRON,
        "castings": "",
        "marks": "",
    }
    if who:
        texts["who"] = who[:LONGEST_NAME]
    return Typed({key: [text] for key, text in texts.items()})


def _standard_text(standard: WheelStandard, unit: Unit) -> dict[str, str]:
    figures = {
        "gauge": standard.gauge_nm,
        "back_to_back": standard.back_to_back_nm,
        "tyre_width": standard.tyre_width_nm,
        "flange_width": proposed_flange_nm(standard),
        "flange_depth": standard.flange_depth_nm,
        "root_radius": standard.root_radius_nm,
    }
    # Where a standard prints no figure, a neighbour's of the same size of track keeps the form whole.
    lender = _LENDERS.get(standard.key)
    lent = _standard_text(preset(lender), unit) if lender else {}
    return {key: lent.get(key, "") if nm is None else plain(nm, unit) for key, nm in figures.items()}


def lender_of(standard_key: str) -> WheelStandard | None:
    """The standard that lends the figures this one does not print."""
    lender = _LENDERS.get(standard_key)
    return preset(lender) if lender else None


def borrowed(standard: WheelStandard) -> tuple[str, ...]:
    """What the drawing needs and this standard does not print, as the form names it."""
    texts = {key: getattr(standard, key, None) for key in _OF_TYRE}
    return tuple(_OF_TYRE[key] for key, figure in texts.items() if figure is None)


def read_build(typed: Typed, *, with_marks: bool, several: bool = False) -> tuple[Draft | None, Errors]:
    """The build a form describes, or what is wrong with it; marks are asked for once, when it is started.

    With several patterns it is asked for what all wheels share, and the rest in each pattern's own form.
    """
    errors = Errors()
    name = read_line(typed, "name", "The name", LONGEST_NAME, errors)
    standard = read_choice(typed, "standard", "the gauge", standard_keys(), errors)
    unit_text = read_choice(typed, "unit", "inch or metric", [u.value for u in Unit], errors)
    lead = read_choice(typed, "lead", "which side leads", ("left", "right"), errors)
    fit = read_choice(typed, "fit", "the fit", [k.value for k in FitKind], errors)
    route = read_choice(typed, "route", "the route", [r.value for r in Route], errors)
    paint = read_choice(typed, "paint", "when it is painted", (PAINT_LAST, PAINT_FIRST), errors)
    iron = read_choice(typed, "iron", "the iron", [i.key for i in irons()], errors)
    angle = _read_angle(typed, errors)
    coupled = () if several else _read_axles(typed, errors, all_coupled=with_marks)
    unit, kind = Unit(unit_text) if unit_text else Unit.MM, FitKind(fit) if fit else None
    if several:
        dimensions = read_figures(typed, [one for one in drawing.FIGURES if one.of_track], unit, errors)
    else:
        dimensions = read_figures(typed, drawing.FIGURES, unit, errors)
        fill_in_usual_range(typed, kind, typed.get("iron"), dimensions, errors)
    marks = _read_castings(typed, len(coupled), errors) if with_marks else ()
    if errors or None in (name, standard, lead, fit, route, paint, iron, angle):
        return None, errors
    draft = Draft(
        str(name), str(standard), unit, angle or 0, str(lead), str(fit), Route(str(route)), str(iron),
        dimensions, coupled, paint == PAINT_FIRST, marks, typed.get("instead_of") not in ("", standard),
    )  # fmt: skip
    return draft, errors


def _read_angle(typed: Typed, errors: Errors) -> int | None:
    text = typed.get("quarter_angle").strip().removesuffix("°").strip().replace(",", ".")
    whole, _, part = text.partition(".")
    figure_like = (whole + part).isascii() and (whole + part).isdigit() and len(text) <= 10 and whole
    angle = Fraction(text.rstrip(".")) if figure_like else Fraction(0)
    if not 10 <= angle <= 170:
        errors["quarter_angle"] = (
            "The quarter angle is in degrees, from 10 to 170: 90 for two cylinders, 120 for three."
        )
        return None
    return round(angle * _UDEG)


def _read_axles(typed: Typed, errors: Errors, *, all_coupled: bool) -> tuple[bool, ...]:
    """Which axles are coupled; all of a new build's, unless somebody said otherwise."""
    count = read_whole(typed, "axles", "The number of axles", 1, MOST_AXLES, errors)
    words = typed.get("coupled").replace(",", " ").split()
    if count is None:
        return ()
    numbers = {int(word) for word in words if word.isascii() and word.isdigit() and len(word) <= 3}
    surplus = sorted(number for number in numbers if not 1 <= number <= count)
    proposed_words = typed.get("coupled_proposed").split()
    if all_coupled and words and words == proposed_words:
        return (True,) * count
    if len(numbers) != len(words) or (surplus and words != proposed_words):
        gone = f"Axle {surplus[0]} is not there: w" if surplus else "W"
        errors["coupled"] = (
            f"{gone}rite the numbers of the coupled axles, from 1 to {count}, such as"
            f" {' '.join(map(str, range(1, count + 1)))}."
        )
    return tuple(number in numbers for number in range(1, count + 1))


def read_figures(
    typed: Typed,
    figures: Iterable[drawing.DrawnFigure],
    unit: Unit,
    errors: Errors,
    beside: Mapping[str, int] | None = None,
) -> dict[str, Length]:
    """The drawing's figures as typed, held against one another and against those `beside` them, nm."""
    read: dict[str, Length] = {}
    for figure in figures:
        if figure.key in (*_FIT_RANGE, *drawing.TYRE_KEYS) and not typed.get(figure.key).strip():
            continue
        length = read_length(typed, figure.key, unit, errors)
        if length is not None:
            read[figure.key] = length
    sizes = {**(beside or {}), **{key: size.nm for key, size in read.items()}}
    for key, sentence in _faults(sizes, unit).items():
        doubt = _doubt(read[key], key, sizes, unit) if key in read else ""
        errors.setdefault(key, f"{sentence} {doubt}".strip())
    return read


def _faults(sizes: Mapping[str, int], unit: Unit) -> dict[str, str]:
    return {**drawing.apart(sizes, unit), **drawing.faults(sizes, unit)}


def _doubt(size: Length, key: str, sizes: Mapping[str, int], unit: Unit) -> str:
    return bare_doubt(size, lambda nm: key not in _faults({**sizes, key: nm}, unit))


def fill_in_usual_range(
    typed: Typed, fit: FitKind | None, iron: str, read: dict[str, Length], errors: Errors
) -> None:
    """Left empty, the range is the usual one for this fit, this bore and what this boss will stand."""
    if fit is None or {"bore", "boss_diameter"} & set(errors):
        return
    if all(typed.get(key).strip() for key in _FIT_RANGE) or iron not in {i.key for i in irons()}:
        return
    try:
        usual = usual_range(fit, read["bore"].nm, read["boss_diameter"].nm, iron)
    except FitError as error:
        errors["fit"] = str(error)
        return
    for key, nm in zip(_FIT_RANGE, usual, strict=True):
        if not typed.get(key).strip():
            read[key] = Length(nm, USUAL)
    if not set(_FIT_RANGE) & set(errors) and read["fit_least"].nm >= read["fit_most"].nm:
        errors["fit_most"] = "The most must be larger than the least: leave both empty, or write both."


def _castings_for(axles: int) -> int:
    """One for each wheel, and two spares for a first attempt."""
    return 2 * axles + 2  # common practice, no source


def _read_castings(typed: Typed, axles: int, errors: Errors) -> tuple[str, ...]:
    """Their marks; how many there are may be left to the marks, or to the axles, and the marks to the number."""
    bare = not typed.get("marks").strip()
    count = _castings_for(axles) if bare else None
    if typed.get("castings").strip():
        count = read_whole(typed, "castings", "The number of castings", 1, 60, errors)
    if bare:
        return tuple(proposed(count or 0))
    marks = read_marks(typed, "marks", errors)
    if count is not None and "marks" not in errors and len(marks) != count:
        errors["marks"] = f"You bought {count} castings but wrote {len(marks)} marks: make the two agree."
    return marks


def read_more_marks(
    typed: Typed, patterns: Sequence[int]
) -> tuple[tuple[tuple[str, ...], int] | None, Errors]:
    """The marks of castings that have come since, and their pattern, which is asked where there are several."""
    errors = Errors()
    marks = read_marks(typed, "marks", errors)
    ids = [str(one) for one in patterns]
    pattern = ids[0] if len(ids) == 1 else read_choice(typed, "pattern", "their pattern", ids, errors)
    return (None, errors) if errors or pattern is None else ((marks, int(pattern)), errors)

"""What each kind of reading should be about on a build: by the drawing, with the metal that may still be on."""

from __future__ import annotations

import statistics
from dataclasses import replace
from fractions import Fraction

from domain.measuring.plausible import Expected, SizeRead, finished, near
from webapp.facts.facts import facts_of
from webapp.facts.metal_sizes import terms_of
from webapp.records.views import BuildView, CastingView
from webapp.typed.sizes import TYRE_SIZES

# The figure of the drawing, and how much less and more than that is not asked about; common practice, no source.
# An axle is turned to its shoulders in one cut, with little on: further out is another axle, or another unit.
_SHOULDERS = Fraction(97, 100), Fraction(103, 100)
# Faces carry metal on both sides and turned diameters on theirs; a bore, a seat and a throw are as drawn.
_HALF, _TWICE = Fraction(1, 2), Fraction(2)
_ROUGH = Fraction(4, 5), Fraction(3, 2)
_FACES = _HALF, Fraction(3)
_PROFILE = _HALF, _TWICE
_WORN = Fraction(1, 4), _TWICE
_WEIGHTS = Fraction(1, 3), Fraction(3)
_IRON_MG_PER_MM3 = 7.2  # grey iron, 7.2 g/cm3: from memory, verify
_DIAL_SHARE = 20
# The sizes of a casting: as it came, and as it is cut down from that.
_OF_CASTING = frozenset(
    {"rim_least", "rim_most", "rough_tread", "rim_height", "boss_height", "over_flange", "tread"}
)


def as_drawn(build: BuildView, kind: str, more_nm: int = 0) -> Expected:
    """What a bore, a seat, a throw or a tyre should be; `more_nm` is what plugs add to the reading over them."""
    if kind in TYRE_SIZES:
        name = "tyre's inside" if kind == "tyre_inside" else "wheel centre"
        return finished(name, build.nm("tyre_inside"))
    return finished(kind if not more_nm else f"{kind} over plugs", build.crank_nm(kind) + more_nm)


def inside_throw(build: BuildView) -> Expected:
    """What the throw of an inside crank should be: no drawing gives it, and an inside cylinder may have its own stroke."""
    return near("throw", build.crank_nm("throw"))


def to_be_typed(build: BuildView, kind: str) -> Expected | None:
    """What the figure typed for one should be, whether or not it was read over plugs; None where the drawing has none."""
    cranked = any(one.cranked for one in build.whole.patterns)
    known = {"bore": True, "seat": True, "throw": cranked}
    if not known.get(kind, kind in TYRE_SIZES and "tyre_inside" in build.dimensions):
        return None
    own = as_drawn(build, kind)
    over = build.crank_nm("bore") + build.crank_nm("crankpin_hole") if kind == "throw" else 0
    return replace(own, most=own.most + over)


def plug_size(build: BuildView, name: str) -> Expected:
    """What a plug measured over should be: it fits the bore or the crankpin hole, or is stepped down to less."""
    drawn = build.crank_nm("bore" if name == "plug_one" else "crankpin_hole")
    return near("plug", drawn, least=Fraction(1, 4), most=_TWICE)


def of_size(build: BuildView, key: str) -> Expected | None:
    """What one of the sizes that change as metal comes off should be; None where nothing can be said."""
    drawn = terms_of(build).finished
    over_flange, tread, outside = drawn.over_flange_nm, drawn.tread_diameter_nm, drawn.outside_nm
    found: dict[str, tuple[str, int | None, tuple[Fraction, Fraction]]] = {
        "rim_least": ("rough rim", outside, _ROUGH),
        "rim_most": ("rough rim", outside, _ROUGH),
        "rough_tread": ("rough rim at the tread", tread, _ROUGH),
        "rim_height": ("rim", drawn.rim_width_nm, _FACES),
        "boss_height": ("boss", drawn.boss_length_nm, _FACES),
        "over_flange": ("diameter over the flange", over_flange, _ROUGH),
        "tread": ("tread", tread, _ROUGH),
        "worn_tread": ("worn tread", tread, _ROUGH),
        "worn_flange": ("worn flange's thickness", build.nm("flange_width"), _WORN),
        "worn_height": ("worn flange's height", build.nm("flange_depth"), _PROFILE),
        "worn_back": ("back to back", build.nm("back_to_back"), (Fraction(4, 5), Fraction(5, 4))),
        "flange_thickness": ("flange's thickness", build.nm("flange_width"), _PROFILE),
        "flange_height": ("flange's height", build.nm("flange_depth"), _PROFILE),
        "root_radius": ("root radius", build.nm("root_radius"), (Fraction(1, 4), Fraction(4))),
        "over_shoulders": (
            "length over the shoulders",
            build.nm("back_to_back") - 2 * (drawn.boss_proud_back_nm or 0),
            _SHOULDERS,
        ),
        "seat_length": ("seat's length", drawn.boss_length_nm, _PROFILE),
        "outer_journal": ("journal", build.nm("seat"), (_HALF, Fraction(1))),
    }
    if key in found:
        name, nm, (least, most) = found[key]
        if not nm:
            return None
        expected = near(name, nm, least=least, most=most)
        return replace(expected, of_casting=True) if key in _OF_CASTING else expected
    if key == "back_to_back":
        return finished("back to back", build.nm("back_to_back"))
    if key in ("pin_hole", "pin_seat"):
        return finished(
            "crankpin's hole" if key == "pin_hole" else "crankpin", build.crank_nm("crankpin_hole")
        )
    if key == "boss_proud" and drawn.boss_length_nm:
        return Expected("boss proud of the rim", -drawn.boss_length_nm, drawn.boss_length_nm)
    if key == "axle_run_out":
        return Expected("run-out between centres", 0, build.nm("seat") // _DIAL_SHARE)
    if key in ("edge_eccentricity", "face_wobble") and tread:
        return Expected("half of what the dial swings", 0, tread // _DIAL_SHARE)
    return None


def of_casting(build: BuildView, casting: CastingView, key: str) -> Expected | None:
    """The same of one casting: its tread hangs on its group's."""
    own = build.of(casting)
    found = of_size(own, key)
    return facts_of(own).treads.expected(casting, found) if found is not None and key == "tread" else found


def journal_of(seat_nm: int) -> Expected:
    """What a journal between the wheels should be: no smaller than the seat, or no whole axlebox comes to sit on it."""
    why = "It is no smaller than the seat, or no axlebox that goes on over the seat fits it."
    return Expected("journal between the wheels", seat_nm, 2 * seat_nm, seat_nm, "the seat's", why=why)


def weight_of(build: BuildView, casting: CastingView) -> Expected:
    """What a casting should weigh: as its fellows do, or without any no more than a disc of its size."""
    others = [
        one for one in build.castings if one.id != casting.id and one.state != "scrapped" and one.receipt
    ]
    weights = [one.receipt.weight_mg for one in others if one.receipt and one.receipt.weight_mg]
    if weights:
        middle = round(statistics.median(weights))
        least, most = (round(middle * one) for one in _WEIGHTS)
        return Expected("weight", least, most, middle, "its fellows' in the middle", SizeRead.WEIGHT)
    drawn = terms_of(build.of(casting)).finished
    across, through = (
        build.of(casting).nm("tread_diameter") / 1e6,
        max(build.of(casting).nm("boss_length"), drawn.rim_width_nm or 0) / 1e6,
    )
    disc = 0.785 * across**2 * through * _IRON_MG_PER_MM3
    return Expected("weight", round(disc / 30), round(2 * disc), measure=SizeRead.WEIGHT)


# --- heights in vee blocks ---


def axle_height(build: BuildView) -> Expected:
    """How high an axle may lie over the plate: the vee blocks decide, but no lower than itself and no higher than wheels."""
    return Expected("height of the axle", build.nm("seat") // 4, 2 * build.nm("tread_diameter"))


def pin_height(build: BuildView, axle_nm: int) -> Expected:
    """How high a crankpin may stand: about a throw above or below the axle, and half itself more over its top."""
    reach = build.crank_nm("throw") * 5 // 4 + build.crank_nm("crankpin_hole")
    return Expected("height of the pin", max(0, axle_nm - reach), axle_nm + reach)


def across(build: BuildView, name: str) -> Expected:
    """What a diameter that is touched should be: the axle's or a crankpin's."""
    of_axle = name == "axle"
    drawn = build.crank_nm("seat" if of_axle else "crankpin_hole")
    return near(f"diameter of the {'axle' if of_axle else 'pin'}", drawn, least=_HALF, most=_TWICE)

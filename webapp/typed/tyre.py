"""The form for the sizes of a tyre."""

from __future__ import annotations

from dataclasses import replace

from domain.lengths import Unit
from webapp.typed.size_log import SizesLogged, read_log
from webapp.typed.texts import Errors, Typed

CASTING_KEYS = ("flange_thickness", "flange_at", "flange_height", "rim_height", "root_radius", "tread")
AXLE_KEYS = ("back_to_back",)
# How worn it came out of service.
WORN = ("worn_tread", "worn_flange", "worn_at", "worn_height", "worn_hollow")


def read_tread(typed: Typed, build_unit: Unit) -> tuple[SizesLogged, Errors]:
    """The sizes of a tyre: a flange's thickness with how far above the tread it was measured, which alone says nothing."""
    logged, errors = read_log(typed, CASTING_KEYS, build_unit)
    if "flange_thickness" in logged.sizes and not typed.get("flange_at").strip():
        errors["flange_at"] = (
            "Say how far above the tread the flange was measured: at the tread's level its root makes it thick."
        )
    if not typed.get("flange_thickness").strip():
        sizes = {key: size for key, size in logged.sizes.items() if key != "flange_at"}
        logged = replace(logged, sizes=sizes)
        if not sizes and not errors:
            errors[""] = "Nothing was typed: measure at least one size and type it."
    return logged, errors

"""Every sheet but the first page, joined; knows the whole program, so it is loaded late."""

from fastapi import APIRouter

from webapp.routes import (
    axles,
    balance,
    batches,
    castings,
    crankpins,
    figures,
    fits,
    joints,
    machines,
    measurements,
    metal,
    ordering,
    quartering,
    receiving,
    rods,
    speeds,
    strokes,
    swing,
    ticks,
    treads,
    truing,
    workshop,
)
from webapp.sheets.build import page as builds


def work_router() -> APIRouter:
    """One router with all of them."""
    joined = APIRouter(redirect_slashes=False)
    for sheet in (
        builds,
        axles,
        castings,
        ticks,
        measurements,
        workshop,
        joints,
        fits,
        figures,
        ordering,
        strokes,
        receiving,
        truing,
        metal,
        machines,
        speeds,
        swing,
        batches,
        quartering,
        crankpins,
        balance,
        rods,
        treads,
    ):
        joined.include_router(sheet.router)
    return joined

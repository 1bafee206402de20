"""Every sheet but the first page, joined; knows the whole program, so it is loaded late."""

from fastapi import APIRouter

from webapp.sheets.balance import page as balance
from webapp.sheets.build import page as builds
from webapp.sheets.cranks import page_crankpins as crankpins
from webapp.sheets.cranks import page_quartering as quartering
from webapp.sheets.cutting import page_speeds as speeds
from webapp.sheets.cutting import page_strokes as strokes
from webapp.sheets.cutting import page_swing as swing
from webapp.sheets.figures import page as figures
from webapp.sheets.joints import page as joints
from webapp.sheets.ordering import page as ordering
from webapp.sheets.pairing import page as fits
from webapp.sheets.rods import page as rods
from webapp.sheets.route import page as batches
from webapp.sheets.stock import page_metal as metal
from webapp.sheets.stock import page_receiving as receiving
from webapp.sheets.treads import page as treads
from webapp.sheets.truing import page as truing
from webapp.sheets.wheel import page_axles as axles
from webapp.sheets.wheel import page_castings as castings
from webapp.sheets.wheel import page_readings as measurements
from webapp.sheets.wheel import page_ticks as ticks
from webapp.sheets.workshop import page as workshop
from webapp.sheets.workshop import page_machines as machines


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

"""The register of sheets: where each is, what it is called, and the module that shows it, named as text.

So that a start loads no sheet but those that are asked for first.
"""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module

from fastapi import APIRouter


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet: the address a person opens it at, its name, and its module under `webapp.sheets`."""

    address: str
    name: str
    module: str


# Opened first, so they are joined at the start.
FIRST = (
    Sheet("/", "Builds", "shelf.page"),
    Sheet("/device", "A new device", "device.page"),
    Sheet("/archived", "Archived", "shelf.page"),
)
SHEETS = (
    Sheet("/builds/new", "Start a build", "build.page"),
    Sheet("/builds/{build_id}", "Build", "build.page"),
    Sheet("/builds/{build_id}/edit", "The drawing's figures", "build.page"),
    Sheet("/builds/{build_id}/patterns/new", "Another pattern of wheel", "build.page_patterns"),
    Sheet("/builds/{build_id}/patterns/{pattern_id}", "Pattern of wheel", "build.page_patterns"),
    Sheet("/builds/{build_id}/figures", "Cuts and allowances", "figures.page"),
    Sheet("/builds/{build_id}/batches", "Work in batches", "route.page"),
    Sheet("/batches/{batch_id}", "Batch", "route.page"),
    Sheet("/batches/{batch_id}/card", "Set-up card", "cutting.page_set_up_card"),
    Sheet("/builds/{build_id}/record", "Wheel-set record", "made.page_record"),
    Sheet("/axles/{axle_id}/record", "Axle record", "wheel.page_record"),
    Sheet("/castings/{casting_id}/card", "Route card", "route.page_card"),
    Sheet("/builds/{build_id}/export", "Export", "exchange.page"),
    Sheet("/import", "Import a build", "exchange.page"),
    Sheet("/find", "Find", "finding.page"),
    Sheet("/diary", "Diary", "diary.page"),
    Sheet("/builds/{build_id}/away", "Archive or delete", "away.page"),
    Sheet("/ordering", "How many castings to buy", "ordering.page"),
    Sheet("/builds/{build_id}/ordering", "How many castings to buy", "ordering.page"),
    Sheet("/builds/{build_id}/hand", "Your own hand", "hand.page"),
    Sheet("/builds/{build_id}/receiving", "Castings as they came", "stock.page_receiving"),
    Sheet("/castings/{casting_id}/receiving", "Receiving", "stock.page_receiving"),
    Sheet("/castings/{casting_id}/metal", "Metal left", "stock.page_metal"),
    Sheet("/castings/{casting_id}/true", "Setting true", "truing.page"),
    Sheet("/builds/{build_id}/speeds", "Speeds and feeds", "cutting.page_speeds"),
    Sheet("/castings/{casting_id}/mandrel", "Mandrel", "mandrel.page"),
    Sheet("/castings/{casting_id}/tyre", "Tyre", "tyres.page"),
    Sheet("/castings/{casting_id}/speeds", "Speeds and feeds", "cutting.page_speeds"),
    Sheet("/castings/{casting_id}/swing", "Will it swing?", "cutting.page_swing"),
    Sheet("/castings/{casting_id}/strokes", "Hand strokes", "cutting.page_strokes"),
    Sheet("/castings/{casting_id}/strokes/{count_id}", "Stroke counter", "cutting.page_strokes"),
    Sheet("/castings/{casting_id}/settings", "As set", "repeating.page"),
    Sheet("/builds/{build_id}/reaming", "Reamer or boring bar", "cutting.page_reaming"),
    Sheet("/axles/{axle_id}", "Axle", "wheel.page_axles"),
    Sheet("/axles/{axle_id}/assembly", "Assembly", "assembly.page"),
    Sheet("/axles/{axle_id}/seats/left", "Left seat", "wheel.page_axles"),
    Sheet("/axles/{axle_id}/seats/right", "Right seat", "wheel.page_axles"),
    Sheet("/axles/{axle_id}/journal", "Record", "wheel.page_axles"),
    Sheet("/axles/{axle_id}/cautions", "Cautions", "wheel.page_axles"),
    Sheet("/castings/{casting_id}", "Casting", "wheel.page_castings"),
    Sheet("/castings/{casting_id}/bore", "Bore and fit", "wheel.page_castings"),
    Sheet("/castings/{casting_id}/throw", "Throw", "wheel.page_castings"),
    Sheet("/castings/{casting_id}/cautions", "Cautions", "wheel.page_castings"),
    Sheet("/castings/{casting_id}/scrap", "Scrap", "wheel.page_castings"),
    Sheet("/castings/{casting_id}/measured", "Everything measured", "measured.page"),
    Sheet("/axles/{axle_id}/measured", "Everything measured", "measured.page"),
    Sheet("/castings/{casting_id}/notes", "Notes", "notes.page"),
    Sheet("/axles/{axle_id}/notes", "Notes", "notes.page"),
    Sheet("/builds/{build_id}/labels", "Labels", "labels.page"),
    Sheet("/builds/{build_id}/fits", "Fits and pairing", "pairing.page"),
    Sheet("/builds/{build_id}/joints", "What the joints must carry", "joints.page"),
    Sheet("/builds/{build_id}/treads", "Treads and gauges", "treads.page"),
    Sheet("/castings/{casting_id}/tread", "Tread and flange", "treads.page"),
    Sheet("/axles/{axle_id}/gauges", "Gauges", "treads.page"),
    Sheet("/axles/{axle_id}/returning", "Re-turning", "returning.page"),
    Sheet("/builds/{build_id}/crankpins", "Crankpins", "cranks.page_crankpins"),
    Sheet("/builds/{build_id}/quartering", "Quartering", "cranks.page_quartering"),
    Sheet("/axles/{axle_id}/quartering", "Quartering", "cranks.page_quartering"),
    Sheet("/axles/{axle_id}/setting", "Setting the cranks", "cranks.page_setting"),
    Sheet("/builds/{build_id}/rods", "Will the rods go round?", "rods.page"),
    Sheet("/builds/{build_id}/balance", "Balance", "balance.page"),
    Sheet("/builds/{build_id}/made", "The set as made", "made.page"),
    Sheet("/copies", "Copies", "copies.page"),
    Sheet("/workshop", "Workshop", "workshop.page"),
    Sheet("/workshop/instruments/new", "Add an instrument", "workshop.page_things"),
    Sheet("/workshop/instruments/{instrument_id}", "Instrument", "workshop.page_things"),
    Sheet("/workshop/jigs/new", "Add a drilling jig", "workshop.page_things"),
    Sheet("/workshop/jigs/{jig_id}", "Drilling jig", "workshop.page_things"),
    Sheet("/workshop/machines/new", "Add a lathe", "workshop.page_things"),
    Sheet("/workshop/machines/{machine_id}", "Machine", "workshop.page_things"),
    Sheet("/workshop/chucks/new", "Add a chuck", "workshop.page_things"),
    Sheet("/workshop/chucks/{chuck_id}", "Chuck", "workshop.page_things"),
    Sheet("/devices", "Devices", "device.page_list"),
    Sheet("/words", "Words", "glossary.page"),
)
# They take forms and show no sheet of their own.
FIRST_FORMS = ("bench.page",)
FORMS = ("wheel.page_ticks", "wheel.page_readings")


def routers(sheets: tuple[Sheet, ...], forms: tuple[str, ...] = ()) -> list[APIRouter]:
    """The routers of the sheets and of what takes their forms; loads their modules."""
    # A request tries one route after the other: what is tapped most comes first.
    modules = dict.fromkeys((*forms, *(sheet.module for sheet in sheets)))
    return [import_module(f"webapp.sheets.{module}").router for module in modules]


def _joined(found: list[APIRouter]) -> APIRouter:
    joined = APIRouter(redirect_slashes=False)
    for one in found:
        # As they stand: a router within a router is asked twice whether it has the address.
        joined.routes.extend(one.routes)
    return joined


def first_router() -> APIRouter:
    """What a start joins."""
    return _joined(routers(FIRST, FIRST_FORMS))


def work_router() -> APIRouter:
    """Every other sheet, joined when one is first asked for."""
    return _joined(routers(SHEETS, FORMS))

"""The section of a casting as it is now: inked in on each face that is done, the metal left on the others."""

from __future__ import annotations

from domain.lengths import show_in
from domain.stock.sizes import Face, Faces, FinishedSizes, StockError, finished_faces
from webapp.facts.metal import MetalSheet
from webapp.records.views import BuildView
from webapp.sheets.stock.drawing import Outside, Section, Words, centre_outside, section


def metal_section(build: BuildView, sheet: MetalSheet, finished: FinishedSizes) -> Section | None:
    """The section by the metal left on each face; None where the drawing's figures make no wheel."""
    if finished.rim_width_nm is None or finished.flange_depth_nm is None:
        return None
    try:
        done_faces = finished_faces(
            finished.rim_width_nm, finished.boss_length_nm, finished.boss_proud_back_nm, build.unit
        )
    except StockError:  # said where it is drawn: a boss that is nowhere inside the rim
        return None
    done = {line.face for line in sheet.lines if line.ticked or line.sign == "done"}
    left = {
        line.face: line.left.stock_nm
        for line in sheet.lines
        if line.left is not None and line.face not in done and line.left.stock_nm > 0
    }
    outside = Outside(
        left.get(Face.OVER_FLANGE),
        left.get(Face.TREAD),
        finished.flange_depth_nm,
        build.nm("flange_width"),
        stepped=True,
    )
    if finished.centre_nm is not None:
        outside = centre_outside(left.get(Face.CENTRE))
        left = {face: nm for face, nm in left.items() if face not in (Face.OVER_FLANGE, Face.TREAD)}
    words = {face: Words(face.words, show_in(nm, build.unit)) for face, nm in left.items()}
    if Face.OVER_FLANGE in words:
        words[Face.OVER_FLANGE] = Words("over the flange", words[Face.OVER_FLANGE].metal)
    return section(_now(done_faces, left), done_faces, 0, outside, words, done)


def _now(finished: Faces, left: dict[Face, int]) -> Faces:
    """Where the faces lie that still have metal on them."""
    back, front = finished.boss_back_nm, finished.boss_front_nm
    return Faces(
        finished.rim_back_nm - left.get(Face.RIM_BACK, 0),
        finished.rim_front_nm + left.get(Face.RIM_FRONT, 0),
        None if back is None else back - left.get(Face.BOSS_BACK, 0),
        None if front is None else front + left.get(Face.BOSS_FRONT, 0),
    )

"""The section on the sheet of metal left: a face that is done is inked in, the others say the metal that is on them."""

import pytest

from domain.lengths import show_in
from domain.stock.sizes import Face
from webapp.db import Db
from webapp.demo.builds import make_demo
from webapp.facts.metal import metal_sheet
from webapp.facts.metal_sizes import terms_of
from webapp.records.builds import load_build
from webapp.sheets.stock.view_metal import metal_section

NAMES = {Face.OVER_FLANGE: "over the flange"}


@pytest.mark.parametrize(
    ("mark", "inked"), [("W5", set()), ("W7", {"rim", "boss"}), ("W2", {"rim", "boss", "tread"})]
)
def test_each_face_is_inked_in_or_says_its_metal(db: Db, mark: str, inked: set[str]) -> None:
    make_demo(db)
    with db.read() as session:
        whole = load_build(session, 1)
    assert whole is not None
    casting = next(one for one in whole.castings if one.mark == mark)
    build = whole.of(casting)
    sheet = metal_sheet(build, casting)
    found = metal_section(build, sheet, terms_of(build).finished)
    assert found is not None
    said = {note.words.name: note.words.metal for note in found.notes}
    cut = {
        line.face: line.left.stock_nm
        for line in sheet.lines
        if line.left and line.left.stock_nm > 0 and not line.ticked and line.sign != "done"
    }
    assert said == {NAMES.get(face, face.words): show_in(nm, build.unit) for face, nm in cut.items()}
    # Two lines of a rim's and of a boss's faces, one of all that is turned.
    assert len(found.inked) == 2 * ("rim" in inked) + 2 * ("boss" in inked) + ("tread" in inked)
    across = {note.words.name: abs(note.x2 - note.x1) for note in found.notes if note.y1 == note.y2}
    if across:
        scale = across["boss back"] / cut[Face.BOSS_BACK]
        assert across["rim front"] == pytest.approx(scale * cut[Face.RIM_FRONT], abs=0.2)

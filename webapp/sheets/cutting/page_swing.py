"""Will it swing: asked before anybody lifts the chuck. Only looked at: nothing is stored."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.cutting.words import SWING_CAUTIONS, swing_cautions
from webapp import render
from webapp.records.machines import list_chucks, list_machines
from webapp.sheets.cutting.form_swing import FIELDS, GRIPS_WORDS, JAWS_WORDS, read_swing
from webapp.sheets.cutting.view_swing import SwingAnswered, starting, swing_answer, swing_box
from webapp.typed.texts import Errors, Typed
from webapp.web.common import UNPROCESSABLE
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_casting

router = APIRouter()


@router.get("/castings/{casting_id}/swing")
def swing(request: Request, casting_id: Id, db: DbDep) -> Response:
    """The form with this casting's figures; with a set-up chosen, the answer."""
    build, casting = get_casting(db, casting_id)
    with db.read() as session:
        lathes = [one for one in list_machines(session, retired=False) if one.is_lathe]
        chucks = list_chucks(session, retired=False)
    typed, size = starting(build, casting, lathes, chucks)
    query = request.query_params
    asking = any(name in query for name in FIELDS)
    errors, found = Errors(), SwingAnswered()
    if asking:
        typed = Typed({name: query.getlist(name) for name in FIELDS if name in query})
        asked, errors = read_swing(typed, [one.id for one in lathes], [one.id for one in chucks], build.unit)
        if asked is not None:
            found = swing_answer(asked, lathes, chucks, build.unit)
        if found.field:
            errors[found.field] = found.words
    return render.page(
        request,
        "sheets/cutting/swing.html",
        UNPROCESSABLE if errors else 200,
        build=build,
        casting=casting,
        axle=build.axle(casting.axle_id),
        lathes=[(str(one.id), one.name) for one in lathes],
        chucks=[(str(one.id), one.name) for one in chucks],
        jaws=JAWS_WORDS,
        grips=GRIPS_WORDS,
        size=size,
        typed=typed,
        errors=errors,
        found=found,
        box=swing_box(build, casting, found),
        cautions=swing_cautions(found.swing) if found.swing else SWING_CAUTIONS,
        title_block={
            "build": build.name,
            "sheet": f"Will it swing, {casting.mark}",
            "number": casting.mark,
        },
    )

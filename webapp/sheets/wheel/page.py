"""Drawing the axle sheet, the casting sheet and their slips, whole or the pieces that changed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from fastapi import Request
from fastapi.responses import Response

from domain.joints.kinds import FitKind
from domain.joints.words import kind_cautions
from domain.lengths import Unit
from domain.route.stages import CRANKPIN_IN, Stage, Step
from webapp import render
from webapp.acts.heights import pair_key
from webapp.db import Db, stand_after
from webapp.facts.as_set import all_as_set
from webapp.facts.due_box import Written, due_box
from webapp.facts.measured_views import history_line
from webapp.facts.received import received_brief
from webapp.facts.returning import was_in_service
from webapp.facts.work_sheets import all_of
from webapp.records.history import axle_journal, casting_journal, scrapped_on, stood_at
from webapp.records.measured import Whose, history_of
from webapp.records.notes import notes_of
from webapp.records.views import SIDES, AxleView, BuildView, CastingView
from webapp.sheets.wheel.view import WheelSheet, axle_sheet, casting_sheet
from webapp.sheets.wheel.view_slips import bore_slip, seat_slip, throw_slip
from webapp.typed.texts import Typed
from webapp.web.common import Attempt, fresh_token, page_of, see, who_of
from webapp.web.load import get_axle, get_casting, older_than
from webapp.web.readings import read_with, remembered_tools

# As long as all stages together.
_LONGEST_KEPT = 200
# Which state of the file the sheet shows, as its script says it, and as it is told it.
_STAND = "Spokeshed-Stand"
NO_SUCH_SEAT = "There is no such seat: an axle has a left and a right end."

render.environment.globals.update(
    slip_of={
        "bore": "/castings/{casting}/bore",
        "throw": "/castings/{casting}/throw",
        "seat": "/axles/{axle}/seats/{side}",
    },
)


@dataclass(frozen=True, slots=True)
class Slip:
    """A slip as it is drawn: its template, what it shows; its name on a page of its own, and the room whose words it has."""

    template: str
    shown: object
    title: str
    room: str


def _reading(request: Request, build: BuildView, typed: Typed) -> dict[str, Any]:
    """What a form for readings needs besides."""
    return {
        "tools": read_with(build),
        "remembered": remembered_tools(request),
        "written": None,
        # The system chosen for the reading before holds for the next.
        "unit_now": typed.get("unit") if typed.get("unit") in set(Unit) else build.unit.value,
    }


def _shared(
    request: Request, build: BuildView, view: str, typed: Typed, attempt: Attempt | None
) -> dict[str, Any]:
    """What both sheets, their slips and all their pieces need."""
    said = who_of(request, typed) or ""
    return {
        "build": build,
        "view": view,
        "page_id": page_of(typed),
        "token": fresh_token,
        "attempt": attempt or Attempt(""),
        # The stage whose small steps are asked for beside those of the one that is next.
        "opened": request.query_params.get("steps", ""),
        "who": said,
        "newly_said": said != render.initials(request.cookies),
        "folded": 0,
        "slip_at": "#slip",
        "log_opened": request.query_params.get("open") == "log",
    }


def _on_sheet(
    request: Request,
    sheet: WheelSheet,
    view: str,
    typed: Typed,
    attempt: Attempt | None,
    casting: CastingView | None,
    again: str = "",
) -> dict[str, Any]:
    """What the list, the heads and the due reading need besides."""
    axle, alone = sheet.axle, view == "casting"
    tried = attempt.place if attempt and attempt.typed.get("from") == "due" else again
    asked = tried or typed.get("due") or request.query_params.get("due", "")
    refused = bool(tried) and not again
    due = due_box(sheet.build, None if alone else axle, casting if alone else None, asked, refused=refused)
    rows = _on_rows(_here(axle, casting if alone else None), typed, sheet, attempt)
    pair = pair_key(axle) if axle is not None else ""
    return rows | {"due": due, "pair": pair, "ticked_keys": _ticked(sheet, attempt)}


def _here(axle: AxleView | None, casting: CastingView | None) -> str:
    """The address of the sheet of this casting, else of the axle."""
    return f"/castings/{casting.id}" if casting else f"/axles/{axle.id}" if axle else ""


def _on_rows(here: str, typed: Typed, sheet: WheelSheet, attempt: Attempt | None) -> dict[str, Any]:
    """What a row of the list needs."""
    return {
        "sheet": sheet,
        "here": here,
        "cautions_at": f"{here}/cautions",
        "kept": " ".join(dict.fromkeys([*typed.get("kept")[:_LONGEST_KEPT].split(), *sheet.opened_keys])),
        "trouble_at": _trouble_at(sheet, attempt),
    }


def _trouble_at(sheet: WheelSheet, attempt: Attempt | None) -> int:
    """The row in which a tick was refused; -1 where no row has it, and it is said above them all."""
    if attempt is None or attempt.trouble is None or not attempt.trouble.key:
        return -1
    return sheet.at_axle if attempt.place.startswith("axle-") else sheet.at(attempt.trouble.key)


def _ticked(sheet: WheelSheet, attempt: Attempt | None) -> frozenset[str]:
    """The keys that are ticked of what a tick was refused on."""
    if attempt is None:
        return frozenset()
    if sheet.axle and attempt.place == f"axle-{sheet.axle.id}":
        return frozenset({"quartered"}) if sheet.axle.quartered else frozenset()
    return next((one.ticked for one in sheet.wheels if attempt.place == f"wheel-{one.id}"), frozenset())


def seen_before(request: Request) -> Typed:
    """How a page stands that asks for itself anew: which rows it has folded, and which stood open."""
    query = request.query_params
    return Typed({name: [query[name]] for name in ("folded", "kept") if name in query})


def _sheet_of(db: Db, build: BuildView, axle: AxleView) -> WheelSheet:
    """The axle's sheet; only an empty place asks who stood there."""
    if len(axle.wheels) == len(SIDES):
        return axle_sheet(build, axle)
    with db.read() as session:
        return axle_sheet(build, axle, stood_at(session, axle.id, (one.id for one in build.spares)))


def show_axle(
    request: Request, db: Db, axle_id: int, typed: Typed, attempt: Attempt | None = None, status: int = 200
) -> Response:
    """The whole axle sheet."""
    build, axle = get_axle(db, axle_id)
    sheet = _sheet_of(db, build, axle)
    context = _shared(request, build, "axle", typed, attempt) | _reading(request, build, typed)
    context |= _on_sheet(request, sheet, "axle", typed, attempt, None)
    context |= {
        "in_service": was_in_service(build, axle),
        "folded": _folded(typed, sheet) if "folded" in typed.fields else sheet.may_fold,
        "title_block": {"build": build.name, "sheet": f"Axle {axle.number}", "number": f"A{axle.number}"},
    }
    return render.page(request, "sheets/wheel/axle.html", status, **context)


def show_casting(
    request: Request, db: Db, casting_id: int, typed: Typed, attempt: Attempt | None = None, status: int = 200
) -> Response:
    """The whole casting sheet."""
    build, casting = get_casting(db, casting_id)
    sheet = casting_sheet(build, casting)
    with db.read() as session:
        journal = casting_journal(session, casting.id, older_than(request))
        history = history_of(session, casting.id, newest=True)
        notes = notes_of(session, Whose(casting_id=casting.id))
        scrapped = scrapped_on(session, casting.id) if sheet.scrapped else None
    context = _shared(request, build, "casting", typed, attempt) | _reading(request, build, typed)
    context |= _on_sheet(request, sheet, "casting", typed, attempt, casting)
    context |= {
        "folded": _folded(typed, sheet) if "folded" in typed.fields else sheet.may_fold,
        "journal": journal,
        "notes": notes,
        "scrapped": scrapped,
        "measured": [(one, history_line(build, one)) for one in history],
        "work_sheets": all_of(casting, build.order_of(casting)),
        "received": received_brief(build, casting),
        "as_set": all_as_set(build, casting),
        "title_block": {"build": build.name, "sheet": f"Casting {casting.mark}", "number": casting.mark},
    }
    return render.page(request, "sheets/wheel/casting.html", status, **context)


def wheel_slip(build: BuildView, casting: CastingView, kind: str) -> Slip:
    """The slip of a wheel's bore or throw."""
    if kind == "bore":
        return Slip(
            "sheets/wheel/_slip_bore.html", bore_slip(build, casting), f"Bore of {casting.mark}", "joints"
        )
    return Slip(
        "sheets/wheel/_slip_throw.html", throw_slip(build, casting), f"Throw of {casting.mark}", "cranks"
    )


def axle_slip(build: BuildView, axle: AxleView, side: str) -> Slip:
    """The slip of a seat."""
    return Slip("sheets/wheel/_slip_seat.html", seat_slip(build, axle, side), f"The {side} seat", "joints")


def show_slip(
    request: Request,
    db: Db,
    build: BuildView,
    slip: Slip,
    typed: Typed,
    casting: CastingView | None = None,
    axle: AxleView | None = None,
    attempt: Attempt | None = None,
) -> Response:
    """A slip under its row, or a page of its own where nothing is swapped."""
    view = typed.get("view") or request.query_params.get("view", "axle")
    alone = casting is not None and (view == "casting" or axle is None)
    context = _shared(request, build, "casting" if alone else "axle", typed, attempt) | _reading(
        request, build, typed
    )
    context |= {"slip": slip.shown, "slip_template": slip.template, "axle": axle, "slip_title": slip.title}
    status = attempt.status if attempt else 200
    if render.wants_fragment(request):
        target = request.headers.get("hx-target", "").rpartition("#")[2]
        context["slip_at"] = "#slip-due" if target == "slip-due" else "#slip"
        return render.fragment(request, slip.template, status, **context)
    # A page of its own has nothing to swap into: its forms and links are plain ones.
    context["slip_at"] = ""
    home = _home(casting, axle, alone=alone)
    context |= home | {
        "slip_page": True,
        "casting": casting,
        "words_at": f"/words?of={slip.room}",
        "title_block": {"build": build.name, "sheet": slip.title, "number": ""},
    }
    return render.page(request, "sheets/wheel/slip.html", status, **context)


def _home(casting: CastingView | None, axle: AxleView | None, *, alone: bool) -> dict[str, str]:
    """The sheet that a slip belongs to, and what it is called."""
    if casting is not None and alone:
        return {"back": f"/castings/{casting.id}", "back_words": casting.mark}
    assert axle is not None  # a slip is of a casting alone, or of an axle
    return {"back": f"/axles/{axle.id}", "back_words": f"axle {axle.number}"}


def show_journal(request: Request, db: Db, axle_id: int) -> Response:
    """Everything done to an axle, latest first."""
    build, axle = get_axle(db, axle_id)
    with db.read() as session:
        journal = axle_journal(session, axle_id, older_than(request))
        notes = notes_of(session, Whose(axle_id=axle_id))
    title = {"build": build.name, "sheet": f"Record of axle {axle.number}", "number": f"A{axle.number}"}
    return render.page(
        request,
        "sheets/wheel/journal.html",
        build=build,
        axle=axle,
        journal=journal,
        notes=notes,
        title_block=title,
    )


def show_cautions(request: Request, build: BuildView, back: str, back_words: str) -> Response:
    """What to mind at every stage of this build's wheels."""
    said = {stage.words: stage.caution for stage in Stage if stage.caution}
    return render.page(
        request,
        "sheets/wheel/cautions.html",
        build=build,
        said=said | {Stage.PRESSED.words: " ".join(kind_cautions(FitKind(build.fit)))},
        back=back,
        back_words=back_words,
        title_block={"build": build.name, "sheet": "Cautions", "number": ""},
    )


def _folded(typed: Typed, sheet: WheelSheet) -> int:
    """How many rows the page had folded: they stay so, that nothing moves under a finger."""
    return min(typed.version("folded"), sheet.may_fold)


def _pieces(
    request: Request,
    db: Db,
    sheet: WheelSheet,
    typed: Typed,
    attempt: Attempt | None,
    written: Written | None,
    slip: Slip | None,
    casting: CastingView | None,
) -> Response:
    view = "casting" if casting is not None else "axle"
    sent_from = typed.get("from")
    source = "due" if sent_from == "due" else "slip" if slip else "list"
    context = _shared(request, sheet.build, view, typed, attempt) | _reading(request, sheet.build, typed)
    # What came out no good is read again after the next cut: its box stays where the finger is.
    again = written.key if written is not None and written.no_good else ""
    context |= _on_sheet(request, sheet, view, typed, attempt, casting, again)
    context |= {"written": written, "source": source, "folded": _folded(typed, sheet)}
    if slip is not None:
        context |= {"slip": slip.shown, "slip_template": slip.template}
        context["slip_at"] = "#slip-due" if sent_from == "slip-due" else "#slip"
    status = attempt.status if attempt else 200
    return _in_step(request, render.fragment(request, "sheets/wheel/_answer.html", status, **context))


def _in_step(request: Request, answer: Response) -> Response:
    """With its pieces the sheet is as a page drawn anew would be, if nobody else wrote since it was drawn: it is told so."""
    stand = stand_after(request.headers.get(_STAND, ""))
    if stand:
        answer.headers[_STAND] = stand
    return answer


def answer_casting(
    request: Request,
    db: Db,
    casting_id: int,
    typed: Typed,
    attempt: Attempt | None = None,
    written: Written | None = None,
    kind: str = "",
) -> Response:
    """After something was tried on a casting: the pieces of the sheet that changed, else the sheet it was on."""
    build, casting = get_casting(db, casting_id)
    axle = build.axle(casting.axle_id)
    alone = typed.get("view") == "casting" or axle is None
    slip = wheel_slip(build, casting, kind) if kind else None
    if render.wants_fragment(request):
        sheet = casting_sheet(build, casting) if alone or axle is None else _sheet_of(db, build, axle)
        return _pieces(request, db, sheet, typed, attempt, written, slip, casting if alone else None)
    if attempt is None:
        home = f"/castings/{casting.id}" if alone else f"/axles/{casting.axle_id}"
        if written is not None and written.no_good and typed.get("from") == "due":
            return see(request, f"{home}?due={written.key}#due")
        return see(request, home if alone else f"{home}#wheel-{casting.id}")
    # What is said of the whole wheel stands on its sheet.
    if slip is not None and typed.get("from") != "due" and not attempt.place.startswith("wheel-"):
        return show_slip(request, db, build, slip, typed, casting, axle, attempt)
    if alone or axle is None:
        return show_casting(request, db, casting_id, typed, attempt, attempt.status)
    return show_axle(request, db, axle.id, typed, attempt, attempt.status)


def answer_step(request: Request, db: Db, casting_id: int, typed: Typed, step: Step) -> Response:
    """What htmx swaps after a small step was ticked: its stage, for nothing else has changed.

    But a pin that is in is asked for no more before its wheel is finished, which stands in another row.
    """
    build, casting = get_casting(db, casting_id)
    own = build.order_of(casting).tickable(step.key)
    axle = build.axle(casting.axle_id)
    alone = typed.get("view") != "axle" or axle is None
    sheet = casting_sheet(build, casting) if alone or axle is None else _sheet_of(db, build, axle)
    view = "casting" if alone else "axle"
    context = _shared(request, build, view, typed, None)
    context |= _on_rows(_here(axle, casting if alone else None), typed, sheet, None)
    row = sheet.row(own.stage if isinstance(own, Step) else step.stage)
    rows = (row, sheet.row(step.closed_by)) if step.key == CRANKPIN_IN else (row,)
    # The steps that stand anyway need not be opened for it.
    stands = row.opened and step.key not in {one.key for one in row.steps_more}
    context |= {"c": casting, "opened": "" if stands else row.key, "rows": rows}
    return _in_step(request, render.fragment(request, "sheets/wheel/_step_answer.html", **context))


def answer_axle(
    request: Request,
    db: Db,
    axle_id: int,
    typed: Typed,
    attempt: Attempt | None = None,
    written: Written | None = None,
    side: str = "",
) -> Response:
    """After something was tried on an axle: the pieces of its sheet that changed, else the sheet."""
    build, axle = get_axle(db, axle_id)
    slip = axle_slip(build, axle, side) if side else None
    if render.wants_fragment(request):
        return _pieces(request, db, _sheet_of(db, build, axle), typed, attempt, written, slip, None)
    if attempt is None:
        return see(request, f"/axles/{axle_id}#list")
    if slip is not None and typed.get("from") != "due":
        return show_slip(request, db, build, slip, typed, None, axle, attempt)
    return show_axle(request, db, axle_id, typed, attempt, attempt.status)

"""An invented build, half made, to look round in. Nothing in it is, or is after, a real engine or person."""

from __future__ import annotations

from domain.length import Unit, parse_length
from domain.stages import Stage, steps
from webapp.db import Db
from webapp.forms.build import DEFAULT_STANDARD, read_build, starting_text
from webapp.forms.measurements import Log
from webapp.forms.ticks import TickWish
from webapp.forms.typed import Typed
from webapp.queries.builds import list_builds, load_build
from webapp.queries.views import AxleView, BuildView, CastingView
from webapp.services.builds import start_build
from webapp.services.castings import place_spare, scrap
from webapp.services.joint_figures import save_figures
from webapp.services.measurements import log_bore, log_seat, log_throw
from webapp.services.outcome import Actor
from webapp.services.ticks import tick_casting, tick_quartered

NAME = "Invented six-coupled tank engine"
_WHO = Actor("JD", "demo", "")
_TO_BORED = (Stage.RECEIVED, Stage.BACK_FACED, Stage.BORED)
_BACK_FACED_STEPS = ("back_faced.rim_true", "back_faced.face_true")


def make_demo(db: Db) -> None:
    """Make the invented build, unless the file has one already."""
    with db.read() as session:
        if list_builds(session):
            return
    text = starting_text(DEFAULT_STANDARD)
    draft, errors = read_build(Typed({**text.fields, "name": [NAME]}), with_marks=True)
    if draft is None:
        raise ValueError(f"the demo's own figures do not hold together: {dict(errors)}")
    build_id = start_build(db, draft, "", _WHO, invented=True)
    demo = _Demo(db, build_id)
    demo.compound()
    demo.first_axle()
    demo.second_axle()
    demo.third_axle()


class _Demo:
    """Evenings in an invented shed, done through the same services as anyone's."""

    def __init__(self, db: Db, build_id: int) -> None:
        self._db = db
        self._build_id = build_id

    @property
    def _build(self) -> BuildView:
        with self._db.read() as session:
            build = load_build(session, self._build_id)
        assert build is not None  # it was stored a moment ago
        return build

    def _axle(self, number: int) -> AxleView:
        return self._build.axles[number - 1]

    def _wheel(self, mark: str) -> CastingView:
        return next(c for c in self._build.castings if c.mark == mark)

    def _tick(self, mark: str, *stages: Stage, with_steps: bool = True) -> None:
        for stage in stages:
            keys = [step.key for step in steps(stage, coupled=True)] if with_steps else []
            for key in (*keys, stage.value):
                wheel = self._wheel(mark)
                tick_casting(self._db, wheel.id, TickWish(key, True, wheel.version), _WHO)

    def _log(self, seen: int, *texts: str, instrument: str) -> Log:
        return Log(tuple(parse_length(text, Unit.INCH) for text in texts), instrument, seen, "")

    def _bore(self, mark: str, *texts: str) -> None:
        wheel = self._wheel(mark)
        log_bore(self._db, wheel.id, self._log(wheel.version, *texts, instrument="bore gauge"), None, _WHO)

    def _throw(self, mark: str, *texts: str) -> None:
        wheel = self._wheel(mark)
        log = self._log(wheel.version, *texts, instrument="micrometer over plugs")
        log_throw(self._db, wheel.id, log, _WHO)

    def _seat(self, number: int, side: str, text: str) -> None:
        axle = self._axle(number)
        log_seat(self._db, axle.id, side, self._log(axle.version, text, instrument="micrometer"), _WHO)

    def compound(self) -> None:
        """The invented compound is handled at once, as these wheels are bonded and gone on with in one breath."""
        save_figures(self._db, self._build_id, {"handling": "0 min"}, self._build.version, "", _WHO)

    def first_axle(self) -> None:
        """On its axle, treads turned, both throws logged and quartered."""
        for side, seat in (("left", "0.7499 in"), ("right", "0.7500 in")):
            self._seat(1, side, seat)
        for mark, bore in (("W1", ("0.7511 in", "0.7512 in")), ("W2", ("0.7513 in", "0.7512 in"))):
            self._tick(mark, *_TO_BORED)
            self._bore(mark, *bore)
            self._throw(mark, "1.1253 in" if mark == "W1" else "1.1251 in")
            self._tick(mark, Stage.PRESSED, Stage.TREAD_TURNED, with_steps=False)
        axle = self._axle(1)
        tick_quartered(self._db, axle.id, TickWish("quartered", True, axle.version), _WHO)

    def second_axle(self) -> None:
        """One bored and good; the other was lost, and a spare has its place, bored too large."""
        self._seat(2, "left", "0.7498 in")
        self._seat(2, "right", "0.7500 in")
        self._tick("W3", *_TO_BORED)
        self._bore("W3", "0.7511 in", "0.7510 in", "0.7512 in")
        self._tick("W4", Stage.RECEIVED, Stage.BACK_FACED, with_steps=False)
        lost = self._wheel("W4")
        scrap(self._db, lost.id, "bored from the back, out of the middle", lost.version, False, _WHO)
        axle, spare = self._axle(2), self._wheel("W7")
        place_spare(self._db, axle.id, "right", spare.id, axle.version, _WHO)
        self._tick("W7", *_TO_BORED)
        self._bore("W7", "0.7562 in", "0.7564 in")

    def third_axle(self) -> None:
        """Hardly begun."""
        self._tick("W5", Stage.RECEIVED)
        for key in _BACK_FACED_STEPS:
            wheel = self._wheel("W5")
            tick_casting(self._db, wheel.id, TickWish(key, True, wheel.version), _WHO)
        self._tick("W6", Stage.RECEIVED, with_steps=False)

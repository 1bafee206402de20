"""One bench in an invented shed: what the invented builds are made with, through the same services as anyone's."""

from __future__ import annotations

from domain.lengths import Unit, parse_length
from domain.repeating.settings import TASKS
from domain.route.stages import Stage, steps
from webapp.acts.as_set import keep_settings
from webapp.acts.readings import log_bore, log_seat, log_throw
from webapp.acts.ticks import fix_and_quarter, tick_casting
from webapp.db import Db
from webapp.facts.before_tick import TOGETHER
from webapp.records.builds import load_build
from webapp.records.change import Asked
from webapp.records.outcome import Actor
from webapp.records.views import AxleView, BuildView, CastingView
from webapp.sheets.assembly.change import add_thing, put_on
from webapp.sheets.assembly.form import read_starter
from webapp.sheets.build.change import start_build
from webapp.sheets.build.form import DEFAULT_STANDARD, read_build, starting_text
from webapp.sheets.joints.change import save_figures
from webapp.sheets.stock.change_metal import log_sizes
from webapp.sheets.stock.change_receiving import receive_casting
from webapp.sheets.stock.form_metal import SIZE_KEYS
from webapp.sheets.truing import change as truing
from webapp.sheets.truing.form import read_set_up
from webapp.sheets.truing.form_rounds import read_round
from webapp.sheets.truing.view_stored import truings_of
from webapp.typed.as_set import read_settings
from webapp.typed.readings import Log
from webapp.typed.receiving import read_receipt
from webapp.typed.size_log import read_log
from webapp.typed.texts import NOTHING_SENT, Typed
from webapp.typed.ticks import TickWish

WHO = Actor("JD", "demo", "")
ASKED = Asked(WHO)


def typed(**texts: str) -> Typed:
    """A form as typed."""
    return Typed({name: [text] for name, text in texts.items()})


def sound(errors: dict[str, str]) -> None:
    """The invented figures must hold together."""
    if errors:
        raise ValueError(f"the demo's own figures do not hold together: {dict(errors)}")


class Bench:
    """Evenings on one invented build."""

    def __init__(self, db: Db, name: str) -> None:
        self.db = db
        text = starting_text(DEFAULT_STANDARD)
        draft, errors = read_build(Typed({**text.fields, "name": [name]}), with_marks=True)
        sound(errors)
        assert draft is not None  # it has no errors
        self.build_id = start_build(db, NOTHING_SENT, draft, WHO, invented=True)

    @property
    def build(self) -> BuildView:
        """The build as it is now."""
        with self.db.read() as session:
            build = load_build(session, self.build_id)
        assert build is not None  # it was stored a moment ago
        return build

    def axle(self, number: int) -> AxleView:
        """An axle by its number."""
        return self.build.axles[number - 1]

    def wheel(self, mark: str) -> CastingView:
        """A casting by its mark."""
        return next(c for c in self.build.castings if c.mark == mark)

    def tick(self, mark: str, *stages: Stage, with_steps: bool = True, why: str = "") -> None:
        """Tick stages, with their small steps or without; what is in doubt is let pass where a reason is given."""
        for stage in stages:
            keys = [step.key for step in steps(stage, coupled=True) if not step.after] if with_steps else []
            self.step(mark, *keys, stage.value, why=why)

    def set(self, mark: str, operation: str, **texts: str) -> None:
        """What was set for an operation."""
        said, errors = read_settings(typed(**texts), TASKS[operation])
        sound(errors)
        assert said is not None  # it has no errors
        keep_settings(self.db, self.wheel(mark).id, ASKED, TASKS[operation], said)

    def step(self, mark: str, *keys: str, why: str = "") -> None:
        """Tick steps or stages by their keys."""
        for key in keys:
            wheel = self.wheel(mark)
            tick_casting(self.db, wheel.id, ASKED, TickWish(key, True, wheel.version, bool(why), why))

    def fix_second(self, number: int, why: str = "") -> None:
        """Tick the second wheel of an axle fixed and the axle quartered, in one go."""
        axle = self.axle(number)
        fix_and_quarter(self.db, axle.id, ASKED, TickWish(TOGETHER, True, axle.version, bool(why), why))

    def _log(self, *texts: str, instrument: str) -> Log:
        return Log(tuple(parse_length(text, Unit.INCH) for text in texts), instrument)

    def bore(self, mark: str, *texts: str) -> None:
        """Log a bore."""
        wheel = self.wheel(mark)
        log_bore(self.db, wheel.id, ASKED, self._log(*texts, instrument="bore gauge"))

    def throw(self, mark: str, *texts: str) -> None:
        """Log a throw."""
        wheel = self.wheel(mark)
        log = self._log(*texts, instrument="micrometer over plugs")
        log_throw(self.db, wheel.id, ASKED, log)

    def seat(self, number: int, side: str, text: str) -> None:
        """Log a seat."""
        axle = self.axle(number)
        log_seat(self.db, axle.id, ASKED, side, self._log(text, instrument="micrometer"))

    def list_of(self, number: int, *kinds: str, on: int = 0) -> None:
        """Put starters on an axle's list, one tap each, and tick the first of them as on."""
        for kind in kinds:
            axle = self.axle(number)
            thing, errors = read_starter(typed(starter=kind), tuple(item.name for item in axle.items))
            sound(errors)
            assert thing is not None  # it has no errors
            add_thing(self.db, axle.id, ASKED, thing)
        for item in self.axle(number).items[:on]:
            put_on(self.db, self.axle(number).id, ASKED, item.id, True)

    def handled_at_once(self) -> None:
        """The invented compound is handled at once, as these wheels are bonded and gone on with in one breath."""
        save_figures(self.db, self.build_id, ASKED, {"handling": "0 min"})

    def receive(self, mark: str, **texts: str) -> None:
        """Write a casting down as it came."""
        receipt, errors = read_receipt(typed(**texts), Unit.INCH)
        sound(errors)
        wheel = self.wheel(mark)
        receive_casting(self.db, wheel.id, ASKED, receipt)

    def true(self, mark: str, *rounds: tuple[str, str, str, str], close: bool) -> None:
        """Set a casting true, its back outward, in as many rounds of readings at the four jaws."""
        held, errors = read_set_up(
            typed(outward="back", surface="inside", grip="on_outside", counts_up="yes", division="0.001 in",
                  tolerance="0.004 in")
        )  # fmt: skip
        sound(errors)
        assert held is not None  # it has no errors
        casting_id = self.wheel(mark).id
        truing.begin(self.db, casting_id, ASKED, held)
        with self.db.read() as session:
            own = truings_of(session, casting_id)[-1].id
        for one in rounds:
            jaws = {f"jaw_{jaw}": text for jaw, text in enumerate(one, start=1)}
            read, errors = read_round(typed(kind="radial", read="jaws", **jaws), held)
            sound(errors)
            assert read is not None  # it has no errors
            truing.add_round(self.db, casting_id, ASKED, own, read)
        if close:
            truing.close(self.db, casting_id, ASKED, own)

    def size(self, mark: str, **texts: str) -> None:
        """Log sizes after a cut."""
        logged, errors = read_log(typed(**texts), SIZE_KEYS, Unit.INCH)
        sound(errors)
        wheel = self.wheel(mark)
        log_sizes(self.db, wheel.id, Asked(WHO, wheel.version), logged)

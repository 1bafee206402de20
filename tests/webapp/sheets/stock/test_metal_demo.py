"""No casting of the demo can be cut under size without a stop, whatever is ticked: the worst case counted independently.

What a tick says is off counts as off where no size was logged since: the front as finished, the back by its share as
receiving has it, a diameter as finished.
"""

from collections.abc import Iterator

import pytest
from sqlmodel import col, delete, select

from domain.stock.sizes import Face
from webapp.acts.ticks import tick_casting, tick_quartered
from webapp.db import Db
from webapp.demo.builds import make_demo
from webapp.facts.metal import cut_answer, metal_sheet
from webapp.facts.metal_sizes import receipt_nm
from webapp.facts.receiving import judge_casting
from webapp.facts.work_figures import work_figures
from webapp.models import Casting, Tick
from webapp.records.builds import load_build
from webapp.records.change import Asked
from webapp.records.outcome import Actor, Refused
from webapp.records.views import BuildView, CastingView
from webapp.typed.ticks import TickWish

ASKED = Asked(Actor("AB", "test", ""))
TOGGLED = (
    "received",
    "back_faced.to_size",
    "back_faced",
    "bored.front_faced",
    "bored",
    "pressed",
    "tread_turned",
)
BACK = {"back_faced", "back_faced.to_size"}
FRONT = {"bored", "bored.front_faced"}
TREAD = {"tread_turned", "tread_turned.to_size", "tread_turned.flange"}
LATER = {"pressed", "tread_turned", "painted"}
DRAWN = {"rim_height": "tyre_width", "boss_height": "boss_length", "tread": "tread_diameter"}


def seen(db: Db, build_id: int) -> BuildView:
    with db.read() as session:
        build = load_build(session, build_id)
    assert build is not None
    return build


def states(db: Db, build_id: int, mark: str) -> Iterator[tuple[BuildView, CastingView]]:
    """The casting as it is, then with every set of ticks that the service lets one come to from there."""
    known: set[frozenset[str]] = set()

    def walk() -> Iterator[tuple[BuildView, CastingView]]:
        build = seen(db, build_id)
        casting = next(one for one in build.castings if one.mark == mark)
        known.add(casting.ticked)
        yield build, casting
        for key in TOGGLED:
            if casting.ticked ^ {key} in known or not toggled(db, casting, key):
                continue
            yield from walk()
            put_back(db, casting)

    return walk()


def toggled(db: Db, casting: CastingView, key: str) -> bool:
    """Tick or untick against all advice; False where it is refused."""
    with db.read() as session:
        version = session.exec(select(Casting.version).where(Casting.id == casting.id)).one()
    wish = TickWish(key, key not in casting.ticks, version, confirmed=True)
    try:
        tick_casting(db, casting.id, ASKED, wish)
    except Refused:
        return False
    return True


def put_back(db: Db, casting: CastingView) -> None:
    """The ticks as they were, with who and when: a step may be unticked that could not be ticked again."""
    with db.write() as session:
        session.exec(delete(Tick).where(col(Tick.casting_id) == casting.id))
        for key, stamp in casting.ticks.items():
            session.add(Tick(casting_id=casting.id, key=key, at=stamp.at, who=stamp.who))


def since(casting: CastingView, own: set[str], later: set[str], at: object) -> bool:
    """Whether a tick, its own or a later stage's, says that a face was done no earlier than then."""
    ticks = [casting.ticks[key].at for key in own if key in casting.ticks]
    ticks = ticks or [stamp.at for key, stamp in casting.ticks.items() if key.split(".")[0] in later]
    return bool(ticks) and min(ticks) >= at


def ever(casting: CastingView, own: set[str], later: set[str]) -> bool:
    return any(key in own or key.split(".")[0] in later for key in casting.ticks)


def worst_nm(build: BuildView, casting: CastingView, face: Face) -> int | None:
    """The least that a face's size may be by now; None where it is not known at all."""
    return _diameter(build, casting, face) if face.on_diameter else _thickness(build, casting, face)


def _thickness(build: BuildView, casting: CastingView, face: Face) -> int | None:
    key = "rim_height" if face in (Face.RIM_BACK, Face.RIM_FRONT) else "boss_height"
    size, came = casting.sizes.get(key), receipt_nm(casting.receipt)
    if size is None:
        return None
    finished = build.nm(DRAWN[key])
    rough = casting.receipt is not None and size.id == casting.receipt.sizes[key].id
    if ever(casting, FRONT, LATER) if rough else since(casting, FRONT, LATER, size.at):
        return min(size.nm, finished)
    if not (
        ever(casting, BACK, {"bored", *LATER}) if rough else since(casting, BACK, {"bored", *LATER}, size.at)
    ):
        return size.nm
    received = judge_casting(build, casting).received
    shares = received.shares if received else None
    back = shares.stock(Face.RIM_BACK if key == "rim_height" else Face.BOSS_BACK) if shares else None
    return min(size.nm, finished if back is None else came[key] - back)


def _diameter(build: BuildView, casting: CastingView, face: Face) -> int | None:
    came = receipt_nm(casting.receipt)
    size = casting.sizes.get(face.value)
    finished = _finished(build, face)
    if size is not None:
        own = {"tread_turned", "tread_turned.to_size" if face is Face.TREAD else "tread_turned.flange"}
        return min(size.nm, finished) if since(casting, own, {"painted"}, size.at) else size.nm
    if "rim_least" not in came:
        return None
    if ever(casting, TREAD, {"painted"}):
        return finished
    return came["rim_least"] - 2 * came.get("edge_eccentricity", 0)


def _finished(build: BuildView, face: Face) -> int:
    if face is Face.OVER_FLANGE:
        return build.nm("tread_diameter") + 2 * build.nm("flange_depth")
    return build.nm({Face.TREAD: "tread_diameter", Face.RIM_BACK: "tyre_width", Face.RIM_FRONT: "tyre_width"}.get(
        face, "boss_length"))  # fmt: skip


def check(build: BuildView, casting: CastingView) -> tuple[int, int]:
    """How many cuts may be taken, and on how many faces it must be measured first."""
    figures, gone, unseen = work_figures(build), 0, 0
    for line in metal_sheet(build, casting).lines:
        unseen += line.unseen
        least = _finished(build, line.face) - figures.nm("size_tolerance")
        stock = line.left.stock_nm if line.left else 0
        for cut in {10_000, figures.nm("finish_cut"), figures.nm("rough_cut"), 5_000_000, max(stock, 1)}:
            if not cut_answer(build, casting, line, cut, None).go:
                continue
            gone += 1
            worst = worst_nm(build, casting, line.face)
            assert cut <= figures.nm("rough_cut")
            assert worst is not None, (casting.mark, line.face)
            end = worst - cut * (2 if line.face.on_diameter else 1)
            assert end >= least, (casting.mark, line.face, sorted(casting.ticks), cut)
        if line.next_cut:
            worst = worst_nm(build, casting, line.face)
            assert worst is not None and worst > least
    return gone, unseen


@pytest.mark.parametrize("build_id", [1, 2])
def test_whatever_is_ticked_no_go_ends_under_size(db: Db, build_id: int) -> None:
    make_demo(db)
    # A wheel is taken off again only from an axle that is not quartered.
    for axle in seen(db, build_id).axles:
        fresh = seen(db, build_id).axle(axle.id)
        assert fresh is not None
        tick_quartered(db, fresh.id, ASKED, TickWish("quartered", False, fresh.version))
    walked = {}
    for one in seen(db, build_id).castings:
        found = [check(build, casting) for build, casting in states(db, build_id, one.mark)]
        walked[one.mark] = (len(found), sum(gone for gone, _ in found), sum(bad for _, bad in found))
    live = [one.mark for one in seen(db, build_id).castings if one.state != "scrapped"]
    assert all(walked[mark][0] > 10 for mark in live), walked
    if build_id == 1:
        assert sum(gone for _, gone, _ in walked.values()) > 0 and sum(bad for *_, bad in walked.values()) > 0


@pytest.mark.parametrize("mark", ["W7", "W8"])
def test_the_demo_s_own_traps(db: Db, mark: str) -> None:
    make_demo(db)
    casting = next(one for one in seen(db, 1).castings if one.mark == mark)
    if mark == "W8":
        for key in ("received", "back_faced"):
            seen_now = next(one for one in seen(db, 1).castings if one.mark == mark)
            tick_casting(db, casting.id, ASKED, TickWish(key, True, seen_now.version))
    build = seen(db, 1)
    casting = next(one for one in build.castings if one.mark == mark)
    lines = {one.face: one for one in metal_sheet(build, casting).lines}
    for face in (Face.RIM_BACK, Face.RIM_FRONT, Face.BOSS_BACK, Face.BOSS_FRONT):
        assert lines[face].head == "Stop: measure first"
        assert not cut_answer(build, casting, lines[face], 100_000, None).go

"""Each judge is asked once a request: of joints for each wheel shown and each exchange tried, of throws, the rods and the
set as made for the build, of the quartering for each axle."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from functools import lru_cache

import pytest
from fastapi.testclient import TestClient

from domain.joints.judge import Case, Finding, judge
from tests.webapp.scenes import HX, Bench, form_on, slip_of
from tests.webapp.test_query_count import counting
from webapp.db import Db
from webapp.facts import joints
from webapp.facts import quartering as facts_quartering
from webapp.facts import rods as facts_rods
from webapp.facts import set_made as facts_set_made
from webapp.facts import throws as facts_throws
from webapp.facts.facts import facts_of
from webapp.records.builds import load_build

# Four wheels, each of its own size, so that no two of them are one joint.
BORES = {"W1": "19.080", "W2": "19.084", "W3": "19.088", "W4": "19.092"}


class Asked(Counter[Case]):
    """How often the judge was asked about each joint."""

    def judge(self, case: Case) -> Finding:
        self[case] += 1
        return judge(case)

    def by_bore(self) -> dict[int, int]:
        """How often about each bore, by whole micrometres."""
        found: Counter[int] = Counter()
        for case, times in self.items():
            found[case.bore.nm // 1_000] += times
        return dict(found)


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """Two axles, each wheel bored and every seat measured."""
    bench = Bench(client, db).sit_down()
    bench.metric()
    for mark, bore in BORES.items():
        bench.bored(mark, bore=f"{bore} mm")
    for axle in (1, 2):
        for side in ("left", "right"):
            assert bench.seat(axle, side, "19.050 mm").status_code == 303
    return bench


@pytest.fixture
def asked(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> Asked:
    """The judge's calls from here on, with nothing remembered of the scene."""
    asked = Asked()
    monkeypatch.setattr(joints, "judged", lru_cache(maxsize=1024)(asked.judge))
    bench.db.forget_held()
    return asked


@pytest.mark.parametrize("fragment", [True, False])
def test_logging_a_bore_asks_once_for_each_wheel_shown(bench: Bench, asked: Asked, fragment: bool) -> None:
    form = form_on(bench.get(slip_of("/castings/1/bores", "axle")), "/castings/1/bores").filled(
        reading="19.086 mm"
    )
    asked.clear()
    joints.judged.cache_clear()
    answer = bench.client.post("/castings/1/bores", data=form, headers=HX if fragment else {})
    assert answer.status_code == (200 if fragment else 303)
    # The fellow on the axle is shown with it; the sheet that is gone to is another request.
    assert asked.by_bore() == ({19_086: 1, 19_084: 1} if fragment else {19_086: 1})
    print(f"bore logged: {asked.total()} asked")


@pytest.mark.parametrize(
    ("path", "bores"),
    [
        ("/axles/1", {19_080: 1, 19_084: 1}),
        ("/castings/1", {19_080: 1}),
        ("/castings/1/bore", {19_080: 1}),
        ("/axles/1/seats/left", {19_080: 1}),
        ("/builds/1", {19_080: 1, 19_084: 1, 19_088: 1, 19_092: 1}),
        ("/builds/1/joints", {19_080: 1, 19_084: 1, 19_088: 1, 19_092: 1}),
        ("/builds/1/made", {19_080: 1, 19_084: 1, 19_088: 1, 19_092: 1}),
    ],
)
def test_a_sheet_asks_once_for_each_wheel(
    bench: Bench, asked: Asked, path: str, bores: dict[int, int]
) -> None:
    bench.get(path)
    assert asked.by_bore() == bores
    print(f"{path}: {asked.total()} asked")


def test_pairing_asks_once_for_each_wheel_on_each_seat(bench: Bench, asked: Asked) -> None:
    for side, seat in (("left", "19.045 mm"), ("right", "19.055 mm")):
        assert bench.seat(1, side, seat).status_code == 303
    asked.clear()
    joints.judged.cache_clear()
    bench.db.forget_held()
    bench.get("/builds/1/fits")
    # Three sizes of seat, and the two of axle 2 are alike: asked about once too.
    assert set(asked.values()) == {1}
    assert asked.total() == len(BORES) * 3
    print(f"/builds/1/fits: {asked.total()} asked")


def test_the_same_view_gives_the_same_finding(bench: Bench, asked: Asked) -> None:
    with bench.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    wheel = build.castings[0]
    first = facts_of(build).joints.of(wheel)
    assert first is not None
    assert facts_of(build).joints.of(wheel) is first
    assert facts_of(build).joints.on(wheel, (build.axles[0].id, "left")) is first
    assert asked.total() == 1


@pytest.mark.parametrize(
    ("path", "throws", "axles", "rods", "made"),
    [
        ("/builds/1", 1, 2, 1, 1),
        ("/builds/1/made", 1, 2, 0, 1),
        # The rods go: nobody asks whose throw is to blame.
        ("/builds/1/rods", 0, 2, 1, 0),
        ("/builds/1/quartering", 1, 2, 0, 0),
        ("/builds/1/crankpins", 1, 0, 0, 0),
        # Painted is asked about too: the set as made, with the angles of both axles.
        ("/axles/1", 1, 2, 1, 1),
        ("/castings/1/throw", 1, 0, 0, 0),
        # Whether it is this axle that is set again, the other one has a say in.
        ("/axles/1/quartering", 1, 2, 0, 0),
    ],
)
def test_what_is_of_the_build_or_an_axle_is_judged_once_a_request(
    bench: Bench, monkeypatch: pytest.MonkeyPatch, path: str, throws: int, axles: int, rods: int, made: int
) -> None:
    drawn = bench.one("SELECT nm FROM dimension WHERE key = 'throw'")
    for mark in BORES:
        assert bench.log(mark, "throw", f"{drawn / 1e6} mm").status_code == 303
        bench.tick(mark, "pressed", "tread_turned")
    for axle in (1, 2):
        bench.heights(
            axle,
            60_000_000,
            60_000_000 + drawn // 2,
            60_000_000 + drawn // 2,
            at="2099-01-01 10:00:00.000000",
        )
    lengths = {f"{key}-{side}-1": "150" for key in ("centre", "rod") for side in ("left", "right")}
    assert bench.send("/builds/1/rods", "/builds/1/rods", **lengths).status_code == 303
    for axle in (1, 2):
        page = f"/axles/{axle}"
        assert bench.send(page, f"{page}/ticks", wish="yes quartered confirmed").status_code == 303
    for mark in BORES if path == "/builds/1" else ():
        bench.tick(mark, "painted")
    asked: Counter[str] = Counter()

    def counted(name: str, judge: Callable[..., object]) -> Callable[..., object]:
        def once_more(*given: object) -> object:
            asked[name] += 1
            return judge(*given)

        return once_more

    monkeypatch.setattr(facts_throws, "judge_throws", counted("throws", facts_throws.judge_throws))
    monkeypatch.setattr(facts_quartering, "measure_axle", counted("axles", facts_quartering.measure_axle))
    monkeypatch.setattr(facts_rods, "RodEngine", counted("rods", facts_rods.RodEngine))
    monkeypatch.setattr(facts_set_made, "set_table", counted("made", facts_set_made.set_table))
    bench.get(path)
    assert (asked["throws"], asked["axles"], asked["rods"], asked["made"]) == (throws, axles, rods, made)


@pytest.mark.parametrize(
    "path", ["/builds/1", "/builds/1/made", "/builds/1/rods", "/builds/1/quartering", "/axles/1/quartering"]
)
def test_heights_and_rods_are_read_with_the_build_and_not_again(bench: Bench, path: str) -> None:
    bench.get(path)
    with counting(bench.db) as said:
        bench.get(path)
    assert not [one for one in said if "FROM measurement" in one or "FROM rod_figure" in one]

"""The code: how long it holds, who must wait after wrong ones, and that nobody can lock the builder out."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import pytest

from webapp.devices.file import DevicesFile
from webapp.devices.gate import LIFE_S, MANY, MOST_WRONG, TRIES, Gate

CODE, WRONG = "042137", "000000"


@dataclass
class Shed:
    """A gate, with a clock that nobody can set and one that anybody can."""

    file: DevicesFile
    mono: float = 5000.0
    wall: float = 1.8e9
    gate: Gate = field(init=False)

    def __post_init__(self) -> None:
        self.gate = Gate(self.file, CODE, clock=lambda: self.mono, now=lambda: self.wall)

    def code(self) -> str | None:
        shown = self.gate.shown()
        return shown and shown[0]

    def wait(self, seconds: float) -> None:
        self.mono += seconds
        self.wall += seconds


@pytest.fixture
def shed(tmp_path: Path) -> Shed:
    return Shed(DevicesFile(tmp_path / "spokeshed.db.devices"))


def _wrong(shed: Shed, address: str, times: int) -> str:
    said = [shed.gate.refusal(WRONG, address) for _ in range(times)]
    assert all(said)
    return said[-1] or ""


def test_wrong_codes_shut_the_gate_for_their_address_and_ever_longer(shed: Shed) -> None:
    gate = shed.gate
    for _ in range(4):
        assert "wait" not in str(gate.refusal(WRONG, "10.0.0.9"))
    assert "wait a minute" in str(gate.refusal(WRONG, "10.0.0.9"))
    assert "wait a minute" in str(gate.refusal(CODE, "10.0.0.9")), (
        "the right code waits too, or guessing would go on"
    )
    assert gate.refusal(CODE, "10.0.0.10") is None
    shed.wait(60.5)
    assert "wait 2 minutes" in str(gate.refusal(WRONG, "10.0.0.9"))
    shed.wait(60.5)
    assert gate.refusal(CODE, "10.0.0.9") is not None
    shed.wait(60.5)
    assert gate.refusal(CODE, "10.0.0.9") is None
    assert "wait" not in str(gate.refusal(WRONG, "10.0.0.9")), "the right code begins the count anew"


def test_the_longest_wait_is_a_quarter_of_an_hour(shed: Shed) -> None:
    for _ in range(15):
        shed.gate.refusal(WRONG, "10.0.0.9")
        shed.wait(901)
        shed.gate.new_code()
    assert shed.gate.refusal(shed.code() or "", "10.0.0.9") is None


def test_waiting_longer_than_an_hour_is_forgiven(shed: Shed) -> None:
    _wrong(shed, "10.0.0.9", TRIES)
    shed.wait(3601)
    shed.gate.new_code()
    assert "wait" not in _wrong(shed, "10.0.0.9", TRIES - 1)


def test_a_code_holds_for_ten_minutes(shed: Shed) -> None:
    shed.wait(LIFE_S - 1)
    assert shed.gate.refusal(CODE, "10.0.0.9") is None
    assert shed.gate.shown() == (CODE, "a minute")
    shed.wait(2)
    assert "has ended" in str(shed.gate.refusal(CODE, "10.0.0.9"))
    assert shed.gate.shown() is None


@pytest.mark.parametrize("years", [-50, -1, 1, 50])
def test_a_code_ends_by_a_clock_that_nobody_sets(shed: Shed, years: int) -> None:
    shed.wall += years * 3.2e7
    shed.wait(LIFE_S - 1)
    assert shed.gate.refusal(CODE, "10.0.0.9") is None
    shed.wait(2)
    assert shed.gate.refusal(CODE, "10.0.0.9") is not None


@pytest.mark.parametrize(("age", "left"), [(0, "10 minutes"), (480, "2 minutes"), (-9e8, "10 minutes")])
def test_a_code_made_by_the_command_holds_from_when_it_was_made(shed: Shed, age: float, left: str) -> None:
    beside = DevicesFile(shed.file._path)
    beside.read()
    beside.put_code("777777", shed.wall - age)
    assert shed.file.behind
    shed.file.refresh()
    assert shed.gate.shown() == ("777777", left)
    assert shed.gate.refusal(CODE, "10.0.0.9") is not None
    assert shed.gate.refusal("777777", "10.0.0.9") is None
    shed.wait(LIFE_S + 1)
    assert shed.gate.shown() is None


def test_a_command_of_long_ago_brings_no_code(shed: Shed) -> None:
    beside = DevicesFile(shed.file._path)
    beside.put_code("777777", shed.wall - 9e8)
    shed.file.refresh()
    assert shed.gate.shown() is None


def test_a_new_code_ends_the_one_before(shed: Shed) -> None:
    shed.gate.new_code()
    code = shed.code()
    assert code and code != CODE
    assert shed.gate.refusal(CODE, "10.0.0.9") is not None
    assert shed.gate.refusal(code, "10.0.0.10") is None


def test_wrong_codes_from_everywhere_end_the_code_and_it_is_told(shed: Shed) -> None:
    for number in range(MOST_WRONG):
        assert "not the code" in str(shed.gate.refusal(WRONG, f"10.0.{number}.1"))
    assert "has ended" in str(shed.gate.refusal(CODE, "10.1.0.1"))
    assert shed.code() is None
    shed.gate.new_code()
    assert shed.gate.refusal(shed.code() or "", "10.1.0.1") is None


def test_once_many_are_wrong_each_address_has_one_try(shed: Shed) -> None:
    for number in range(MANY):
        shed.gate.refusal(WRONG, f"10.0.{number}.1")
    assert "wait a minute" in str(shed.gate.refusal(WRONG, "10.1.0.1"))
    assert shed.gate.refusal(CODE, "10.1.0.2") is None, "who has sent no wrong one is always let try"


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("2001:db8::1", "2001:db8::ffff:1", True),
        ("2001:db8::1", "2001:db8:0:1::1", False),
        ("fe80::1%eth0", "fe80::2%eth0", True),
        ("10.0.0.1", "10.0.0.2", False),
        ("::ffff:10.0.0.1", "10.0.0.1", True),
        ("::ffff:10.0.0.1", "::ffff:10.0.0.2", False),
        ("odd", "odd", True),
    ],
)
def test_what_counts_as_one_address(shed: Shed, one: str, other: str, same: bool) -> None:
    assert "wait" in _wrong(shed, one, TRIES)
    assert (shed.gate.refusal(CODE, other) is not None) is same


def test_a_swarm_does_not_keep_the_builder_out(shed: Shed) -> None:
    """Every address of a home network but one guesses each second; the builder makes a code a minute and types it."""
    swarm = [f"192.168.1.{number}" for number in range(2, 255)]
    for _ in range(10):
        shed.gate.new_code()
        code = shed.code()
        for _ in range(20):  # so long it takes to read six digits, walk over and type them
            for address in swarm:
                shed.gate.refusal("wrong", address)
            shed.wait(1)
        if shed.gate.refusal(code or "", "192.168.1.1") is None:
            break
        shed.wait(40)
    else:
        raise AssertionError("not let in within ten minutes")


def test_guesses_from_all_over_are_not_remembered_without_end(shed: Shed) -> None:
    for number in range(3000):
        if shed.code() is None:
            shed.gate.new_code()
        shed.gate.refusal("wrong", f"10.{number // 250}.{number % 250}.1")
    assert len(shed.gate._tried) <= 1000

"""Two tablets at one axle, ticking and logging at random: each write is stored or refused in words, and both agree."""

from __future__ import annotations

import os
import random
import re
import sqlite3
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack, closing, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import parse_qs

import pytest
from playwright.sync_api import Error, Locator, Response, expect

from domain.route.stages import Stage, steps
from tests.browser.conftest import SIZES, address_in, running

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser

# A few in every run of the tests; minutes when something about forms, or what is kept on a device, was changed.
SECONDS = float(os.environ.get("SPOKESHED_TWO_S", "12"))
_TAP_MS = 1500
_WAITS = "something older is not saved yet"
_CATCH_UP_MS = 30000
# Mostly about what the first build has drawn, and now and then what nobody can mean.
_SIZES = {"bore": ("0.7511", "0.7513", "0.7515"), "seat": ("0.7498", "0.7500"), "throw": ("0.875", "0.8752")}
_ODD = ("7.5", "nonsense", "19.05 mm")
_WORDS = {
    words: key
    for stage in Stage
    for words, key in (
        (stage.words, stage.value),
        *((step.words, step.key) for step in steps(stage, coupled=True)),
    )
}


@pytest.fixture(scope="module")
def size() -> tuple[int, int]:
    """Standing up: what the sheet looks like is asked elsewhere."""
    return SIZES["tall"]


@pytest.fixture
def own(chromium_path: str, tmp_path: Path) -> Iterator[tuple[str, Path]]:
    """A program of its own, and its data file to look into."""
    with running(tmp_path) as printed:
        yield address_in(printed), tmp_path / "spokeshed.db"


@dataclass
class _Hand:
    """One who taps and types without thinking; keeps every answer to a form."""

    tablet: Tablet
    who: str
    path: str
    chance: random.Random
    answers: list[Response] = field(default_factory=list)
    # By its token: what was sent where, and each answer to it.
    sent: dict[str, tuple[str, list[int]]] = field(default_factory=dict)
    without_words: list[str] = field(default_factory=list)
    did: Counter[str] = field(default_factory=Counter)

    def sit_down(self) -> None:
        page = self.tablet.page
        page.on("response", self._answered)
        self.tablet.go(self.path)
        if self.who != "JD":
            page.locator("#who-chip > summary").tap()
            page.get_by_label("Who is at the bench").fill(self.who)
            page.get_by_role("button", name="Remember").tap()
            expect(page.locator("#who-chip > summary")).to_contain_text(self.who)
        self.answers.clear()

    def _answered(self, answer: Response) -> None:
        if answer.request.method == "POST":
            self.answers.append(answer)

    def act(self) -> None:
        """Do one thing, and wait for nothing."""
        page = self.tablet.page
        if page.url.removeprefix(self.tablet.address).split("?")[0].split("#")[0] != self.path:
            self.tablet.go(self.path)
        ways = [self.tick] * 6 + [self.log] * 3 + [self.all_the_same] * 2
        if self.tablet.page.locator("#unsaved button").count():
            ways += [self.leave_out] * len(ways)
        way = self.chance.choice(ways)
        # What was there as it was looked for may be gone as it is tapped: that is nobody's fault.
        with suppress(Error):
            way()
        self.hear()

    def tick(self) -> None:
        # Often what is next, else whatever there is: most of that is asked about, or goes back.
        due = self.tablet.page.locator('#list .half[data-state="next"] button.tick:visible')
        boxes = due if due.count() and self.chance.random() < 0.4 else self._boxes()
        boxes.nth(self.chance.randrange(boxes.count())).tap(timeout=_TAP_MS)
        self.did["ticks tapped"] += 1

    def _boxes(self) -> Locator:
        return self.tablet.page.locator("#list button.tick:visible")

    def log(self) -> None:
        form = self.tablet.page.locator("#due form.due-form")
        if not form.is_visible():
            return
        kind = (form.get_attribute("id", timeout=_TAP_MS) or "").removeprefix("due-").split("-")[0]
        typed = self.chance.choice(_SIZES.get(kind, _ODD) if self.chance.random() < 0.9 else _ODD)
        form.locator("[data-next]").first.fill(typed, timeout=_TAP_MS)
        form.get_by_role("button", name="Write").tap(timeout=_TAP_MS)
        self.did["readings written"] += 1

    def all_the_same(self) -> None:
        asked = self.tablet.page.locator("#list [role=alert], #due [role=alert]").first
        button = asked.get_by_role("button").first
        if not button.is_visible():
            return
        reason = asked.get_by_label("Why all the same, for the record")
        if reason.count():
            reason.fill("tried it twice", timeout=_TAP_MS)
        button.tap(timeout=_TAP_MS)
        self.did["done all the same"] += 1

    def leave_out(self) -> None:
        page = self.tablet.page
        if not page.locator("#unsaved button").count():
            return
        if not page.locator("#unsaved details[open]").count():
            page.locator("#unsaved summary").tap(timeout=_TAP_MS)
        page.get_by_role("button", name="Leave it out").first.tap(timeout=_TAP_MS)
        self.did["refused ones left out"] += 1

    def hear(self) -> None:
        """Take down what was answered to what."""
        answers, self.answers[:] = list(self.answers), []
        for answer in answers:
            fields = parse_qs(answer.request.post_data or "")
            token = fields["token"][0]
            where = answer.request.url.removeprefix(self.tablet.address)
            self.sent.setdefault(token, (where, []))[1].append(answer.status)
            if answer.ok:
                continue
            said = ""
            with suppress(Error):  # the page was left meanwhile, and its answers with it
                said = re.sub(r"<[^>]+>|\s+", " ", answer.text().partition('role="alert"')[2]).strip()
                if len(said.split()) < 4 or answer.status not in (409, 422):
                    self.without_words.append(f"{where} {fields}: {answer.status} {said}")

    def kept(self) -> list[dict[str, Any]]:
        found: list[dict[str, Any]] = self.tablet.page.evaluate(
            "JSON.parse(localStorage.getItem('spokeshed-kept') || '[]')"
        )
        return found

    def come_to_rest(self) -> None:
        """Whatever is on its way arrives; what was refused is left out, and what it held back is sent."""
        page = self.tablet.page
        until = time.monotonic() + _CATCH_UP_MS / 1000
        while kept := self.kept():
            assert time.monotonic() < until, kept
            refused = [one for one in kept if one["state"] == "refused"]
            assert all(one.get("why", "").strip() for one in refused), refused
            with suppress(Error):
                if refused:
                    self.leave_out()
            page.wait_for_timeout(200)
            self.hear()
        self.hear()

    def catch_up(self) -> None:
        """What was typed is put away; what is asked or refused keeps the sheet till somebody draws it anew."""
        page = self.tablet.page
        for box in page.locator("#due [data-next]").all():
            box.fill("")
        page.evaluate("document.activeElement.blur()")
        if page.locator("[role=alert]").count():
            page.reload()
        page.wait_for_function(
            """async () => (await fetch('/stand', {cache: 'no-store'})).headers.get('ETag')
                === `"${document.body.dataset.stand}"`""",
            timeout=_CATCH_UP_MS,
        )

    def shown(self) -> dict[str, str]:
        """Each wheel's head, and who ticked what."""
        found: dict[str, str] = self.tablet.page.evaluate(
            """() => Object.fromEntries([
                ...[...document.querySelectorAll('#heads > *')].map((one, at) => ['head ' + at, one.innerText]),
                ...[...document.querySelectorAll('#list button.tick')].filter((one) => !one.id.includes('.'))
                    .map((one) => [one.id, one.ariaPressed + ' ' + one.querySelector('.tick-by, .axle-name').textContent])
            ].map(([key, text]) => [key, text.replace(/\\s+/g, ' ').trim()]))"""
        )
        return found


def test_two_at_one_axle_lose_nothing_and_end_with_the_same(
    own: tuple[str, Path], open_tablet: OpenTablet
) -> None:
    address, data = own
    chance = random.Random(13)
    first, second = (open_tablet(address) for _ in range(2))
    build = first.start_build("Two at one axle", "JD")
    first.handled_at_once(build)
    first.open_axle(1)
    for side in ("Left", "Right"):
        first.tick(first.wheel(side), "received", "back_faced")
    path = first.page.url.removeprefix(address)
    hands = [_Hand(tablet, who, path, chance) for tablet, who in ((first, "JD"), (second, "KL"))]
    for hand in hands:
        hand.sit_down()
    before = _tokens(data)

    until = time.monotonic() + SECONDS
    while time.monotonic() < until:
        hand = chance.choice(hands)
        with ExitStack() as stack:
            if chance.random() < 0.06:
                # Out of reach for a moment, while the other goes on.
                stack.enter_context(hand.tablet.away())
                hand.did["moments out of reach"] += 1
                for one in (hand, *hands):
                    one.act()
            else:
                for _ in range(chance.randint(1, 3)):
                    hand.act()
                    hand.tablet.page.wait_for_timeout(chance.choice((0, 50, 200)))
        hand.tablet.page.wait_for_timeout(chance.choice((0, 0, 100, 500)))

    for hand in hands:
        hand.come_to_rest()
    for hand in hands:
        hand.catch_up()
    shown, also = (hand.shown() for hand in hands)
    assert shown == also
    for hand in hands:
        assert hand.kept() == []
        assert hand.without_words == []
        watch = hand.tablet.watch
        watch.provoked[:] = watch.refusals
        # What htmx itself writes where a form waits for an older one.
        watch.complaints[:] = [line for line in watch.complaints if _WAITS not in line]
        # What stands on both is what the program draws afresh.
        hand.tablet.page.reload()
        assert hand.shown() == shown
    _is_told(data, hands, before)
    _journal_agrees(data)


def _rows(data: Path, sql: str) -> list[tuple[Any, ...]]:
    with closing(sqlite3.connect(data)) as connection:
        return connection.execute(sql).fetchall()


def _tokens(data: Path) -> set[str]:
    """Each is kept under the name of its form."""
    return {form.rsplit(" ", 1)[1] for (form,) in _rows(data, "SELECT token FROM submission")}


def _is_told(data: Path, hands: list[_Hand], before: set[str]) -> None:
    """What was called saved is in the file, what was called refused is not, and nothing else is."""
    stored = _tokens(data) - before
    sent = {token: told for hand in hands for token, told in hand.sent.items()}
    good = {token for token, (_, answers) in sent.items() if any(one < 300 for one in answers)}
    print({hand.who: dict(hand.did) for hand in hands}, end="; ")
    print(f"{len(sent)} forms answered, {len(stored)} stored, {len(sent) - len(good)} refused")
    assert stored <= good
    # A tick that is as wished already stores nothing; a reading always does.
    assert {token for token in good if not sent[token][0].endswith("/ticks")} <= stored
    assert len(stored) > SECONDS / 10
    assert len(sent) > len(good), "nothing was refused: the two never met"


def _journal_agrees(data: Path) -> None:
    """The journal, read from its start, comes to the ticks and to the measurements of the file."""
    ticks: dict[tuple[int, str], str] = {}
    quartered: dict[int, bool] = {}
    lines = "SELECT kind, sentence, casting_id, axle_id, who FROM journal_line WHERE kind IN ('tick', 'untick') ORDER BY id"
    for kind, sentence, casting, axle, who in _rows(data, lines):
        words = re.sub(r"^(Ticked|Unticked) ", "", sentence)
        if axle is not None:
            quartered[axle] = kind == "tick"
            continue
        key = next(own for said, own in _WORDS.items() if words.startswith(f"{said}."))
        if key == "pressed":
            quartered.clear()
        if kind == "tick":
            assert (casting, key) not in ticks
            ticks[casting, key] = who
        else:
            del ticks[casting, key]
    found = {
        (casting, key): who for casting, key, who in _rows(data, "SELECT casting_id, key, who FROM tick")
    }
    assert ticks == found
    assert [own for own, on in quartered.items() if on] == [
        own for (own,) in _rows(data, "SELECT axle_id FROM quartering")
    ]
    measured = Counter(_rows(data, "SELECT kind, casting_id, axle_id, who FROM measurement"))
    told = Counter(
        _rows(
            data,
            "SELECT kind, casting_id, axle_id, who FROM journal_line"
            " WHERE sentence LIKE 'Logged %' OR sentence LIKE 'Corrected %'",
        )
    )
    assert measured == told
    assert measured
    # Of each thing one size stands, and it is the last that was written.
    standing = "SELECT id FROM measurement WHERE superseded = 0 ORDER BY id"
    last = "SELECT max(id) FROM measurement GROUP BY kind, casting_id, axle_id, side ORDER BY 1"
    assert _rows(data, standing) == _rows(data, last)

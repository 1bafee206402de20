"""The axle sheet on one screen: what to do now, whether the last thing was good, where to put the number."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import PAUSE_MS

if TYPE_CHECKING:
    from playwright.sync_api import Page, Route

    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser

# With the browser's own bars, lying and standing; and with the keyboard out.
BARS = {1024: 670, 768: 930}
KEYBOARD = {1024: 320, 768: 560}
MOST_SCREENS = 1.6
MOST_WORDS = 260
# What is said of a danger is not counted, nor what a refusal asks.
WORDS = """() => {
  const sheet = document.querySelector('main').cloneNode(true);
  sheet.querySelectorAll('.caution, .cautions, .refusal, .warning, .notice, .row-why, .unseen, option')
    .forEach(e => e.remove());
  sheet.querySelectorAll('details:not([open]) > :not(summary)').forEach(e => e.remove());
  return sheet.textContent.split(/\\s+/).filter(Boolean).length;
}"""
# Whatever of the first screen's contents does not stand on it.
BELOW = """(height) => [...document.querySelectorAll(
    '.head .mark, .head .wheel, .head .band, .line, .row > .pair, .pair.step, .axle-wide, .caution,'
    + '#due [data-next], .due-write')]
  .filter(e => e.checkVisibility())
  .map(e => [e, e.getBoundingClientRect()])
  .filter(([e, box]) => box.bottom > height || box.right > innerWidth + 1)
  .map(([e, box]) => `${e.className} ${e.textContent.trim().slice(0, 40)} ${box.bottom}`)"""
SMALL = """() => [...document.querySelectorAll('button, a, summary, select, input:not([type=hidden])')]
  .filter(e => e.closest('main') && e.checkVisibility())
  .map(e => [e, e.getBoundingClientRect()])
  .filter(([e, box]) => box.height > 2 && (box.height < 47.5 || box.width < 44))
  .map(([e, box]) => `${e.tagName} ${e.textContent.trim().slice(0, 30)} ${box.width} x ${box.height}`)"""


def on_one_screen(tablet: Tablet, size: tuple[int, int], state: str) -> None:
    """The sheet that is open now: its first screen, its length, its words, its targets."""
    page, (width, height) = tablet.page, size
    for high in (height, BARS[width]):
        page.set_viewport_size({"width": width, "height": high})
        assert page.evaluate(BELOW, high) == [], f"{state}: not on the first screen of {width} x {high}"
    page.set_viewport_size({"width": width, "height": height})
    assert page.evaluate("document.documentElement.scrollHeight") <= MOST_SCREENS * height, (
        f"{state}: too long"
    )
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), (
        f"{state}: something sticks out"
    )
    words = page.evaluate(WORDS)
    assert words <= MOST_WORDS, f"{state}: {words} words"
    assert page.evaluate(SMALL) == [], f"{state}: a thumb must find each"


@pytest.mark.parametrize("script", [True, False], ids=["script", "plain"])
def test_every_axle_of_the_demo_is_on_one_screen(
    demo: str, open_tablet: OpenTablet, size: tuple[int, int], script: bool
) -> None:
    tablet = open_tablet(demo, script=script)
    axles = axles_of(tablet)
    assert len(axles) >= 4
    for axle in axles:
        tablet.go(axle)
        on_one_screen(tablet, size, axle)


@pytest.mark.parametrize("script", [True, False], ids=["script", "plain"])
def test_what_is_due_stays_on_the_first_screen_whatever_rows_stand_open(
    demo: str, open_tablet: OpenTablet, size: tuple[int, int], script: bool
) -> None:
    tablet = open_tablet(demo, script=script)
    page, seen = tablet.page, 0
    for axle in axles_of(tablet):
        for stage in ("received", "bored", "pressed", "tread_turned", "painted"):
            tablet.go(f"{axle}?steps={stage}")
            page.locator("#rows-done > summary, .steps-fold > summary").evaluate_all(
                "all => all.forEach(one => { one.parentElement.open = true; })"
            )
            write = page.locator("#due .due-write")
            if write.count():
                seen += 1
                bottom = write.evaluate("one => one.getBoundingClientRect().bottom")
                assert bottom <= size[1], f"{axle} {stage}: {bottom}"
    assert seen >= 10


def test_what_keeps_a_wheel_from_being_painted_is_read_whole(
    demo: str, open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    tablet = open_tablet(demo)
    tablet.context.add_cookies([{"name": "spokeshed_who", "value": "AB", "url": demo}])
    read = 0
    for axle in axles_of(tablet):
        tablet.go(axle)
        for why in tablet.page.locator("#row-painted .row-why > summary").all():
            high, needs = why.evaluate("e => [e.clientHeight, e.scrollHeight]")
            assert needs <= high, f"{axle}: {why.text_content()}"
            read += 1
    assert read >= 4


def axles_of(tablet: Tablet) -> list[str]:
    """The address of every axle there is."""
    found = []
    tablet.go("/")
    builds = tablet.page.locator("main a[href^='/builds/']").evaluate_all(
        "all => all.map(a => a.getAttribute('href'))"
    )
    for build in dict.fromkeys(one for one in builds if re.fullmatch(r"/builds/\d+", one)):
        tablet.go(build)
        found += tablet.page.locator("a[href^='/axles/']").evaluate_all(
            "all => all.map(a => a.getAttribute('href'))"
        )
    return list(dict.fromkeys(one for one in found if re.fullmatch(r"/axles/\d+", one)))


def send(page: Page, form: str, **fields: str) -> None:
    """Send a form of the page as a plain one, and see that it was taken."""
    sent = page.evaluate(
        """async ([form, fields]) => {
          const data = new URLSearchParams(new FormData(document.querySelector(form)));
          for (const [name, text] of Object.entries(fields)) data.set(name, text);
          return (await fetch(document.querySelector(form).getAttribute('action'), {method: 'POST', body: data})).status;
        }""",
        [form, fields],
    )
    assert sent == 200, f"{form} {fields}: {sent}"


def states(tablet: Tablet, axle: str) -> Iterator[str]:
    """An axle from nothing to painted, each state on a page drawn afresh."""
    page = tablet.page
    left, right = (tablet.casting(side) for side in ("Left", "Right"))
    yield "nothing done"
    for stage in ("received", "back_faced", "bored"):
        for casting in (left, right):
            send(page, f"#ticks-{casting}", wish=f"yes {stage}")
            tablet.go(axle)
            yield f"{stage} {casting}"
    typed = {
        f"bore-{left}": "0.7512",
        f"throw-{left}": "1.125",
        f"throw-{right}": "1.126",
        # The last, for no throw is due of a wheel whose bore is still to be put right.
        f"bore-{right}": "0.7600",
    }
    for key, reading in typed.items():
        tablet.go(f"{axle}?due={key}")
        boxes = page.locator(f"#due-{key} [data-next]").evaluate_all("all => all.map(box => box.name)")
        send(page, f"#due-{key}", **{boxes[0]: reading})
        tablet.go(axle)
        yield f"read {key}"
    send(page, f"#ticks-{left}", wish="yes pressed confirmed", reason="to see it")
    tablet.go(axle)
    yield "the first wheel on"
    own = f"#ticks-axle-{axle.rpartition('/')[2]}"
    send(page, own, wish="yes pressed_and_quartered confirmed", reason="to see it")
    tablet.go(axle)
    yield "quartered"
    for casting in (left, right):
        send(page, f"#ticks-{casting}", wish="yes tread_turned confirmed", reason="to see it")
        tablet.go(axle)
        yield f"tread turned {casting}"
    for casting in (left, right):
        send(page, f"#ticks-{casting}", wish="yes painted confirmed", reason="to see it")
        tablet.go(axle)
        yield f"painted {casting}"


def test_a_fresh_axle_is_on_one_screen_in_every_state(
    program: str, open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    tablet = open_tablet(program)
    tablet.start_build("Every state", "AB")
    tablet.open_axle(1)
    axle = tablet.page.url.removeprefix(tablet.address)
    seen = []
    for state in states(tablet, axle):
        on_one_screen(tablet, size, state)
        seen.append(state)
    assert len(seen) == 17


@pytest.mark.parametrize("route", ["fitted_first", "mandrel_first", "front_first", "between_centres"])
def test_an_axle_of_each_route_is_on_one_screen_with_its_first_cut_next(
    program: str, open_tablet: OpenTablet, size: tuple[int, int], route: str
) -> None:
    def choose(page: Page) -> None:
        page.locator("#of-fit summary").click()
        page.locator(f"input[name=route][value={route}]").check()
        page.locator("input[name=paint][value=first]").check()

    tablet = open_tablet(program)
    tablet.start_build(f"By {route}", "AB", choose)
    tablet.open_axle(1)
    axle = tablet.page.url.removeprefix(tablet.address)
    for side in ("Left", "Right"):
        send(tablet.page, f"#ticks-{tablet.casting(side)}", wish="yes received")
        tablet.go(axle)
    first = "bored" if route == "front_first" else "back_faced"
    expect(tablet.page.locator(f"#row-{first}")).to_have_attribute("data-state", "next")
    on_one_screen(tablet, size, route)


def at_the_bore(tablet: Tablet, name: str) -> str:
    """Both wheels bored and no bore logged, the left one's due; gives the left casting's number."""
    tablet.start_build(name, "AB")
    tablet.open_axle(1)
    axle = tablet.page.url.removeprefix(tablet.address)
    for side in ("Left", "Right"):
        tablet.tick(tablet.wheel(side), "received", "back_faced", "bored")
    casting = tablet.casting("Left")
    tablet.go(f"{axle}?due=bore-{casting}")
    return casting


def test_what_was_unfolded_before_a_reading_is_folded_as_it_is_written(
    program: str, open_tablet: OpenTablet
) -> None:
    """The slip of the bore before told of a size that is no more, under a line that told of the new one."""
    tablet = open_tablet(program)
    page, casting = tablet.page, at_the_bore(tablet, "Unfolded before")
    axle = page.url.removeprefix(tablet.address).partition("?")[0]
    tablet.log("Left", "bore", "0.7545 in")
    tablet.go(f"{axle}?due=bore-{casting}")
    tablet.line("Left").tap()
    slip, due = page.locator("#slip"), tablet.due(f"bore-{casting}")
    expect(slip).to_contain_text("0.7545 in")
    page.wait_for_timeout(PAUSE_MS)
    due.get_by_label("front").fill("0.7512")
    due.get_by_role("button", name="Write").tap()
    expect(tablet.line("Left")).to_contain_text("Good: gap 1.2 thou")
    expect(slip).to_be_empty()
    tablet.line("Left").tap()
    expect(slip).to_contain_text("0.7512 in")


def test_what_was_tried_is_not_told_once_it_is_written(program: str, open_tablet: OpenTablet) -> None:
    """Its answer comes after that of Write: nothing written may stand there as not written yet."""
    tablet = open_tablet(program)
    page, casting = tablet.page, at_the_bore(tablet, "Tried late")
    due = tablet.due(f"bore-{casting}")
    late: list[Route] = []
    page.route("**/try?*", lambda asked: late.append(asked))  # noqa: PLW0108 - its own kind of function is wanted
    due.get_by_label("front").press_sequentially("0.7512")
    page.wait_for_timeout(PAUSE_MS)
    assert len(late) == 1
    due.get_by_role("button", name="Write").tap()
    expect(page.locator(".written")).to_contain_text("W1 bore 0.7512 in")
    with page.expect_response("**/try?*"):
        late[0].continue_()
    page.wait_for_timeout(PAUSE_MS)
    expect(page.locator("#due-band")).to_be_empty()


def test_a_reading_is_tried_as_it_is_typed_and_written_by_a_tap(
    program: str, open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    tablet = open_tablet(program)
    page, casting = tablet.page, at_the_bore(tablet, "As it is typed")
    due = tablet.due(f"bore-{casting}")
    box, trial = due.get_by_label("front"), page.locator("#due-band")
    box.press_sequentially("0.")
    page.wait_for_timeout(PAUSE_MS)
    expect(trial.locator(".band")).to_have_count(0)
    box.press_sequentially("7512")
    expect(trial).to_contain_text("Not written yet. Good: gap 1.2 thou")
    expect(trial.locator(".band-at")).to_be_visible()
    expect(tablet.line("Left")).to_have_attribute("data-answer", "open")
    # With the keyboard out, what matters stays in sight.
    page.set_viewport_size({"width": size[0], "height": KEYBOARD[size[0]]})
    box.focus()
    page.wait_for_timeout(PAUSE_MS)
    for seen in (due.locator(".mark"), box, trial.locator(".trial"), due.get_by_role("button", name="Write")):
        expect(seen).to_be_in_viewport(ratio=1)
    page.set_viewport_size({"width": size[0], "height": size[1]})
    due.get_by_role("button", name="Write").tap()
    expect(page.locator(".written")).to_contain_text("W1 bore 0.7512 in (19.080 mm). Good: gap 1.2 thou")
    expect(page.locator(".written")).to_be_in_viewport()
    expect(tablet.line("Left")).to_contain_text("Good: gap 1.2 thou")


def test_what_is_typed_survives_a_tick_elsewhere(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program)
    casting = at_the_bore(tablet, "Typed and ticked")
    box = tablet.due(f"bore-{casting}").get_by_label("middle")
    box.fill("0.75")
    tablet.tick(tablet.wheel("Right"), "bored.reamed", "pressed.clean")
    expect(box).to_have_value("0.75")
    tablet.line("Left").tap()
    reading = tablet.page.locator("#slip").get_by_label("Reading two")
    reading.fill("0.751")
    tablet.tick(tablet.wheel("Right"), "pressed.square")
    tablet.page.wait_for_timeout(PAUSE_MS)
    tablet.box(tablet.wheel("Right"), "bored").tap()
    expect(tablet.box(tablet.wheel("Right"), "bored")).to_have_attribute("aria-pressed", "false")
    expect(reading).to_have_value("0.751")
    expect(box).to_have_value("0.75")


def test_a_gauge_that_types_and_enters_fills_box_after_box(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program)
    page, casting = tablet.page, at_the_bore(tablet, "A gauge on a wire")
    due = tablet.due(f"bore-{casting}")
    due.get_by_label("front").focus()
    posts = [0]
    page.on("request", lambda request: posts.__setitem__(0, posts[0] + (request.method == "POST")))
    # As fast as a gauge types, and once more than there are boxes.
    for value in ("0.7511", "0.7512", "0.7513", "0.7514"):
        page.keyboard.type(value, delay=2)
        page.keyboard.press("Enter")
    for name, value in (("front", "0.7511"), ("middle", "0.7512"), ("back", "0.7513")):
        expect(due.get_by_label(name)).to_have_value(value)
    assert posts == [0], "nothing is written before somebody says so"
    due.get_by_role("button", name="Write").tap()
    expect(page.locator(".written")).to_contain_text("W1 bore 0.7512 in (19.080 mm). Good: gap 1.2 thou")
    assert posts == [1]


def test_a_double_tap_is_no_tap_on_what_comes_under_it(program: str, open_tablet: OpenTablet) -> None:
    """The second tap of a nervous thumb lands on whatever the answer has put there."""
    tablet = open_tablet(program)
    page = tablet.page
    tablet.start_build("Nervous thumb", "AB")
    tablet.open_axle(1)
    here = page.url
    for key in ("received", "back_faced", "bored"):
        for side in ("Left", "Right"):
            tick = tablet.box(tablet.wheel(side), key)
            box = tick.bounding_box()
            assert box is not None
            x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
            page.touchscreen.tap(x, y)
            page.touchscreen.tap(x, y)
            page.wait_for_timeout(PAUSE_MS)
            assert page.url == here
            expect(tick).to_have_attribute("aria-pressed", "true")
            page.wait_for_timeout(PAUSE_MS)
    page.reload()
    expect(page.locator("#tally")).to_contain_text("6 of 14")


def test_one_slip_at_a_time_and_each_names_its_wheel(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program)
    page = tablet.page
    at_the_bore(tablet, "One slip")
    slip = page.locator("#slip")
    tablet.line("Left").tap()
    expect(slip.get_by_role("heading", level=2)).to_have_text("W1 bore and fit")
    page.wait_for_timeout(PAUSE_MS)
    tablet.line("Right").tap()
    expect(slip.get_by_role("heading", level=2)).to_have_text("W2 bore and fit")
    expect(slip.locator("form.log")).to_have_count(1)
    page.wait_for_timeout(PAUSE_MS)
    tablet.line("Right").tap()
    expect(slip).to_be_empty()


def test_a_device_without_initials_is_asked_once_and_loses_nothing(
    program: str, open_tablet: OpenTablet
) -> None:
    known, unknown = open_tablet(program), open_tablet(program)
    casting = at_the_bore(known, "Nobody said who")
    unknown.go(known.page.url.removeprefix(known.address))
    due = unknown.due(f"bore-{casting}")
    due.get_by_label("front").fill("0.7512")
    with unknown.refused(422):
        due.get_by_role("button", name="Write").tap()
    expect(due.get_by_label("front")).to_have_value("0.7512")
    due.get_by_label("Your initials").fill("MK")
    unknown.page.wait_for_timeout(PAUSE_MS)
    due.get_by_role("button", name="Write").tap()
    expect(unknown.page.locator(".written")).to_contain_text("W1 bore")
    expect(unknown.page.locator("#who-short")).to_contain_text("MK")
    unknown.tick(unknown.wheel("Left"), "pressed.clean")


# One axle took 117 taps before.
MOST_TAPS = 60


def test_an_axle_from_received_to_painted_takes_few_taps(program: str, open_tablet: OpenTablet) -> None:
    """All of it but the small steps, which hold nothing up: every stage, every reading, every question answered."""
    tablet = open_tablet(program)
    page, taps = tablet.page, [0]
    tablet.context.expose_function("counted", lambda: taps.__setitem__(0, taps[0] + 1))
    tablet.context.add_init_script("document.addEventListener('click', e => e.isTrusted && counted(), true)")
    tablet.handled_at_once(tablet.start_build("Few taps", "AB"))
    tablet.open_axle(1)
    axle = page.url.removeprefix(tablet.address)
    left, right = tablet.wheel("Left"), tablet.wheel("Right")
    taps[0] = 0

    def write(key: str, *texts: str) -> None:
        page.wait_for_timeout(PAUSE_MS)
        due = tablet.due(key)
        for number, text in enumerate(texts):
            due.locator("[data-next]").nth(number).fill(text)
        due.get_by_role("button", name="Write").tap()
        expect(due).to_have_count(0)

    for side in (left, right):
        tablet.tick(side, "received", "back_faced")
    for side in ("left", "right"):
        write(f"seat-{side}", "0.7500", "0.7500")
    for name, side in (("Left", left), ("Right", right)):
        tablet.tick(side, "bored")
        write(f"bore-{tablet.casting(name)}", "0.7511", "0.7512", "0.7512")
        write(f"throw-{tablet.casting(name)}", "1.125")
    tablet.tick(left, "pressed")
    row = page.locator("#row-quartered")
    tablet.all_the_same(
        row, row.get_by_role("button"), "no heights of its crankpins are logged", "set to the square"
    )
    for name, side in (("Left", left), ("Right", right)):
        write(f"tread-{tablet.casting(name)}", "5.125")
        tablet.tick(side, "tread_turned")
    for side in (left, right):
        tablet.all_the_same(side, tablet.box(side, "painted"), "Not measured of W", "seen to")
    expect(page.locator("#tally")).to_have_text("14 of 14")
    assert page.url.removeprefix(tablet.address).partition("#")[0] == axle
    assert taps[0] <= MOST_TAPS, taps[0]
    assert taps[0] >= 13 + 8, "every stage and every Write was counted"


def test_nothing_moves_when_the_band_of_what_is_typed_is_drawn(
    program: str, open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    tablet = open_tablet(program)
    tablet.start_build("A band in its room", "JD")
    tablet.open_axle(1)
    tablet.tick(tablet.wheel("Left"), "received", "back_faced")
    page, box = tablet.page, tablet.due(f"bore-{tablet.casting('Left')}").locator("[data-next]").first
    foot = page.locator(".wheel-links")
    box.press_sequentially("0.7")
    before = foot.bounding_box()
    box.press_sequentially("512")
    expect(page.locator("#due-band .band")).to_be_visible()
    assert foot.bounding_box() == before

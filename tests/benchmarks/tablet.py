"""What a slow tablet feels, measured in Chromium and printed; nothing here passes or fails.

    python -m tests.benchmarks.tablet [--samples 21] [--slowed 6]

The axle sheet of an invented build, in a browser whose processor is slowed. A tap counts until the frame that shows
its tick was painted. Of what moves by itself two sums are told: the browser's own, which forgives what follows a tap
within half a second, and the sum of all there was.
"""

from __future__ import annotations

import argparse
from contextlib import ExitStack
from html import escape
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import Any

from playwright.sync_api import CDPSession, Page, sync_playwright

from tests.benchmarks.servers import running
from tests.conftest import find_chromium

_TALL = {"width": 768, "height": 1024}
_AXLE = 2
_PAINTED_MS, _ELEMENTS, _TICK_B = 100, 700, 4096
# Longer than the time in which a second tap on one place counts as the same tap.
_PAUSE_MS = 900
_WATCH = """
  window.shifts = { own: 0, all: 0, of: [] };
  new PerformanceObserver((list) => {
    for (const one of list.getEntries()) {
      shifts.all += one.value;
      if (!one.hadRecentInput) shifts.own += one.value;
      shifts.of.push(...one.sources.map(({ node }) => node?.id || node?.className || node?.nodeName));
    }
  }).observe({ type: 'layout-shift', buffered: true });
"""
# From the tap to the frame in which the square is drawn otherwise.
_PAINTED = """(id) => {
  window.painted = new Promise((done) => {
    let from = 0;
    document.addEventListener('click', (event) => { from = event.timeStamp; }, { capture: true, once: true });
    const before = document.getElementById(id).ariaPressed;
    const look = () => {
      if (document.getElementById(id)?.ariaPressed === before) return;
      watch.disconnect();
      requestAnimationFrame(() => {
        const channel = new MessageChannel();
        channel.port1.onmessage = () => done(performance.now() - from);
        channel.port2.postMessage(0);
      });
    };
    const watch = new MutationObserver(look);
    watch.observe(document.getElementById('list'), { subtree: true, childList: true, attributes: true });
  });
}"""


# Largest contentful paint; a bare page of words has one too.
_LARGEST = """() => new Promise((done) => new PerformanceObserver(
  (list) => done(list.getEntries().at(-1).startTime)).observe({ type: 'largest-contentful-paint', buffered: true }))"""
_PAINTS, _PAINT_AIM = 5, 2
_WAITED = (
    """performance.getEntriesByType('resource').filter((one) => one.name.endsWith('/ticks')).pop().duration"""
)


def main() -> None:
    """One run, one line for each figure."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.tablet")
    parser.add_argument("--samples", type=int, default=21)
    parser.add_argument("--slowed", type=int, default=6)
    given = parser.parse_args()
    path = find_chromium()
    if path is None:
        raise SystemExit("no Chromium found")
    with ExitStack() as stack:
        folder = Path(stack.enter_context(TemporaryDirectory()))
        server = stack.enter_context(running("webapp", "--demo", "--data", folder / "demo.db", "--port", "0"))
        browser = stack.enter_context(sync_playwright()).chromium.launch(
            executable_path=path, args=["--no-sandbox", "--disable-gpu"]
        )
        context = browser.new_context(viewport=_TALL, has_touch=True, is_mobile=True)  # type: ignore[arg-type]
        context.add_init_script(_WATCH)
        page = context.new_page()
        _measure(page, context.new_cdp_session(page), f"http://127.0.0.1:{server.port}", given)
        browser.close()


def _measure(page: Page, devtools: CDPSession, address: str, given: argparse.Namespace) -> None:
    sizes: dict[str, int] = {}
    sent: set[str] = set()

    def asked(it: dict[str, Any]) -> None:
        if it["request"]["method"] == "POST":
            sent.add(it["requestId"])

    devtools.on("Network.requestWillBeSent", asked)
    devtools.on(
        "Network.loadingFinished", lambda it: sizes.update({it["requestId"]: it["encodedDataLength"]})
    )
    devtools.send("Network.enable")
    devtools.send("Emulation.setCPUThrottlingRate", {"rate": given.slowed})

    def loaded() -> tuple[int, int]:
        """How many bytes came since this was last asked: for what was sent, and for what was asked."""
        page.wait_for_timeout(_PAUSE_MS)
        told = sum(size for own, size in sizes.items() if own in sent)
        found = sum(sizes.values()) - told
        sizes.clear()
        return told, found

    page.goto(f"{address}/axles/{_AXLE}")
    print(f"first load of the axle sheet: {loaded()[1]} bytes over the wire")
    page.locator("#who-chip > summary").tap()
    page.get_by_label("Who is at the bench").fill("JD")
    page.get_by_role("button", name="Remember").tap()
    loaded()
    page.goto(f"{address}/axles/{_AXLE}")
    loaded()
    _said(page, "a sheet opened")
    print(
        f"elements of the axle sheet: {page.evaluate('document.querySelectorAll(`*`).length')} (aim <= {_ELEMENTS})"
    )

    own, bare = _painted_after(page, address), _painted_after(page, address, bare=True)
    print(
        f"largest paint of the axle sheet: {own:.0f} ms, of its words on a bare page {bare:.0f} ms:"
        f" {own / bare:.1f}x (aim < {_PAINT_AIM})"
    )

    wheel, axle = _stage(page, address)
    times, waited, told, after = [], [], [], []
    for _ in range(given.samples):
        loaded()
        page.evaluate(_PAINTED, wheel)
        page.locator(f"#{wheel}").tap()
        times.append(page.evaluate("window.painted"))
        waited.append(page.evaluate(_WAITED))
        one, other = loaded()
        told.append(one)
        after.append(other)
    _said(page, f"{given.samples} stage ticks on {axle}")
    print(
        f"tap to painted of a stage tick, {given.slowed} times less processor: median {median(times):.0f} ms,"
        f" {median(waited):.0f} of it till the answer was there; most {max(times):.0f} (aim <= {_PAINTED_MS})"
    )
    print(
        f"answer to a stage tick: {max(told)} bytes over the wire, heads and all (aim <= {_TICK_B});"
        f" what the sheet asks for after it: {max(after)}"
    )

    page.goto(f"{address}/axles/{_AXLE}")
    loaded()
    page.locator("#heads a.line").first.tap()
    loaded()
    _said(page, "a slip opened")
    due_bore(page, address)
    loaded()
    page.locator("#due [data-next]").first.fill("0.7512")
    loaded()
    _said(page, "a bore typed, and its band drawn")
    page.get_by_role("button", name="Write").tap()
    loaded()
    _said(page, f"written ({page.locator('#due .written, #due [role=alert]').first.inner_text()})")


def _painted_after(page: Page, address: str, *, bare: bool = False) -> float:
    """Milliseconds from asking to the largest paint, the median of a few; bare: the same words, without style or script."""
    found = []
    for _ in range(_PAINTS):
        page.goto(f"{address}/axles/{_AXLE}")
        if bare:
            words = page.evaluate("document.querySelector('main').innerText")
            body = f"<!doctype html><title>Bare</title><pre>{escape(words)}</pre>"
            page.route("**/bare", lambda route: route.fulfill(body=body, content_type="text/html"))  # noqa: B023
            page.goto(f"{address}/bare")
        page.wait_for_timeout(_PAUSE_MS)
        found.append(page.evaluate(_LARGEST))
    return median(found)


def due_bore(page: Page, address: str) -> None:
    """The axle sheet with a bore to be read."""
    for number in range(1, 7):
        page.goto(f"{address}/axles/{number}")
        if page.locator("#due form[id^=due-bore]").count():
            return
        others = page.locator('.due-others a[href*="due=bore-"]')
        if others.count():
            page.goto(address + (others.first.get_attribute("href") or ""))
            return
    raise SystemExit("no bore is due")


def _stage(page: Page, address: str) -> tuple[str, str]:
    """A square that can be tapped on and off without a question, and its sheet."""
    for number in range(1, 7):
        page.goto(f"{address}/axles/{number}")
        for own in page.locator("#list .half button.tick:visible").evaluate_all(
            "all => all.map(one => one.id)"
        ):
            if "." not in own and all(_turns(page, own) for _ in range(2)):
                return own, f"axle {number}"
    raise SystemExit("no stage is ticked without a question")


def _turns(page: Page, own: str) -> bool:
    tick = page.locator(f"#{own}")
    before = tick.get_attribute("aria-pressed")
    tick.tap()
    page.wait_for_timeout(_PAUSE_MS)
    return tick.get_attribute("aria-pressed") != before


def _said(page: Page, what: str) -> None:
    found: dict[str, Any] = page.evaluate("window.shifts")
    moved = ", ".join(sorted(set(found["of"])))
    print(
        f"layout shift, {what}: {found['own']:.3f} (aim 0); with what follows a tap {found['all']:.3f} {moved}"
    )
    page.evaluate("window.shifts = { own: 0, all: 0, of: [] }")


if __name__ == "__main__":
    main()

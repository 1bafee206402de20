"""One set of verdict words on every sheet of three builds: what a working keeps to itself stands nowhere else."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from html.parser import HTMLParser
from itertools import product
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from tests.webapp.conftest import ORIGIN
from tests.webapp.facts.conftest import demo_file  # noqa: F401 the two invented builds
from tests.webapp.scenes import Bench
from webapp.app import create_app
from webapp.settings import Settings
from webapp.web.register import FIRST, SHEETS

# design.md, "What a person sees": good, take care, no good, cannot tell; of sizes in limits, tight, slack, over, under.
BANNED = re.compile(
    r"\b(serves?|conforms?|(hold|fit|good)s? with care|cannot (be told|tell) yet|fits, but"
    r"|out of tolerance|(in|out)side (its|their) limits|k = 2|mean of 1)\b",
    re.IGNORECASE,
)
# What stood in the place of those: as reasons "alike" and "cleans up" may stay, never as the first word of a verdict;
# before "Other" it is one of the reasons to scrap a casting.
HEADLINES = re.compile(
    r"\b(Alike|(?:N|: n)ot (?:quite )?alike|(?:Just c|C)leans up|As it came: (?:just |does not )?cleans? up"
    r"|Does not clean up(?! Other)|The axles (?:do not )?agree|Cannot be (?:told|judged)"
    r"|Yes, it swings|No, it does|At this speed it|True enough: go on)\b"
    r"|(?i:\bdoubtful\b|\bnot known yet\b|\bguard band\b|\bA U of\b|, U \d)"
)
# Of a dial, a cure or a comparison, and so a difference.
DIFFERENCES = re.compile(
    r"\b(swings?(?: about)?|gone (?:up|down) by|wind until it reads|jaw \d reads|takes|out of (?:flat|round) by|has"
    r"|on the axle by|no more than|flange to [\d.]+ in \([\d.]+ mm\), by|decides, with|clean up: [a-z ]+ is"
    r"|The treads are|below the drawing|slip|A difference of|still leaves|wheel gauge leaves|W\d+:) 0\.0\d+ in\b"
    r"|\b0\.0\d+ in \([\d.]+ mm\) (short of|thicker|of sideways room|still to come off|is allowed|below the drawing)"
)
VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}


class InFront(HTMLParser):
    """What a page says outside its workings."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.text = ""
        self._open: list[tuple[str, bool]] = []
        self.feed(html)
        self.text = " ".join(self.text.split())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        hidden = (tag in ("details", "div") and "working" in (given.get("class") or "").split()) or tag in (
            "script",
            "style",
        )
        if tag not in VOID:
            self._open.append((tag, hidden))
        for name in ("placeholder", "aria-label", "title"):
            if given.get(name) and not self._is_hidden:
                self.text += f" {given[name]} "

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """A tag that closes itself opens nothing."""

    def handle_endtag(self, tag: str) -> None:
        while self._open and self._open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        if not self._is_hidden:
            self.text += data + (" " if data.endswith("\n") else "")

    @property
    def _is_hidden(self) -> bool:
        return any(hidden for _, hidden in self._open)


# Where the rows of each place of an address are found.
TABLES = {
    "build_id": "build",
    "axle_id": "axle",
    "casting_id": "casting",
    "count_id": "stroke_count",
    "machine_id": "machine",
    "chuck_id": "chuck",
    "jig_id": "jig",
    "batch_id": "work_batch",
    "instrument_id": "instrument",
    "pattern_id": "pattern",
}


def pages_of(bench: Bench) -> Iterator[tuple[str, str]]:
    """Every registered sheet there is, of every row there is, with what it says in front."""
    for sheet in (FIRST[0], *SHEETS):
        keys = re.findall(r"{(\w+)}", sheet.address)
        rows = [[own for (own,) in bench.rows(f"SELECT id FROM {TABLES[key]}")] for key in keys]
        for ids in product(*rows):
            path = sheet.address.format(**dict(zip(keys, ids, strict=True)))
            answer = bench.client.get(path)
            if answer.status_code == 200:
                yield path, InFront(bench.whole(path)).text
            else:
                # Strokes of another casting, a sheet of a scrapped one.
                assert answer.status_code in (303, 404, 409), (path, answer.status_code)


@pytest.fixture(scope="module")
def demo_pages(
    tmp_path_factory: pytest.TempPathFactory,
    demo_file: Path,  # noqa: F811
) -> dict[str, str]:
    """Both invented builds, which are in inches."""
    path = tmp_path_factory.mktemp("words") / "spokeshed.db"
    shutil.copy(demo_file, path)
    app = create_app(Settings(path))
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}, follow_redirects=False) as client:
        bench = Bench(client, app.state.db).sit_down()
        assert bench.send("/builds/1/batches", "/builds/1/batches", wish="start").status_code == 303
        found = dict(pages_of(bench))
    app.state.db.close()
    return found


@pytest.fixture(scope="module")
def metric_pages(shed: Bench) -> dict[str, str]:
    """A build in millimetres."""
    return dict(pages_of(shed))


@pytest.fixture(params=["demo_pages", "metric_pages"])
def pages(request: pytest.FixtureRequest) -> dict[str, str]:
    """Each of them."""
    found: dict[str, str] = request.getfixturevalue(request.param)
    assert len(found) > 40
    return found


def said(pages: dict[str, str], banned: re.Pattern[str]) -> list[str]:
    """Each place where it is said, with what stands round it."""
    return sorted(
        {
            f"{path}: ...{text[max(0, hit.start() - 60) : hit.end() + 40]}..."
            for path, text in pages.items()
            for hit in banned.finditer(text)
        }
    )


def test_no_sheet_has_other_verdict_words(pages: dict[str, str]) -> None:
    found = said(pages, BANNED)
    assert not found, "\n".join(found)


def test_what_a_verdict_begins_with_is_none_of_the_old_words(pages: dict[str, str]) -> None:
    found = said(pages, HEADLINES)
    assert not found, "\n".join(found)


@pytest.mark.parametrize(
    "bad",
    [
        "Gap 1.2 thou (0.032 mm), doubtful",
        "Alike: the left throws lie within 0.2 thou (0.005 mm)",
        "Throws Not alike: the rods will bind.",
        "Not quite alike: take care.",
        "W3: not alike",
        "W1 axle 1, left Cleans up. It cleans up: rim back decides",
        "As it came: just cleans up",
        "W6 Does not clean up; next: received",
        "Back to back not known Not known yet. Log it.",
        "8.0 thou above the least allowed, and the guard band is 0.6 thou",
        "The axles do not agree",
        "Cannot be told with this instrument",
        "A U of 0.003 mm or less would settle it.",
        "mean 0.7512 in (19.080 mm), U 0.000178 in",
    ],
)
def test_the_rule_of_headlines_finds_a_bad_one(bad: str) -> None:
    page = f"<main><p>{bad}</p><details class='working'><p>The guard band, U 0.005 mm</p></details></main>"
    (found,) = said({"/bad": InFront(page).text}, HEADLINES)
    assert found.startswith("/bad: ")


@pytest.mark.parametrize(
    "good",
    [
        "Good: the throws of each side are alike. Good: cleans up with 0.8 mm to spare.",
        "Good It cleans up: rim back decides. One jig makes all throws alike.",
        "No good: does not clean up. W1 does not clean up: give its place to another",
        "<details class='working'><p>The guard band of 0.825 U, doubtful</p></details>",
    ],
)
def test_the_rule_of_headlines_lets_a_reason_and_a_working_be(good: str) -> None:
    assert not said({"/good": InFront(f"<main>{good}</main>").text}, HEADLINES)


def test_an_inch_build_has_pounds_first(demo_pages: dict[str, str]) -> None:
    """A newton stands only in brackets, after its pounds; but for a figure as it was typed, which is "now" that."""
    found = said(demo_pages, re.compile(r"(?<![(\d.])(?<!now )\d[\d.]* N( m)?\b(?!/)"))
    assert not found, "\n".join(found)
    assert any("lbf ft (" in text for text in demo_pages.values())


def test_angles_are_said_to_a_hundredth(pages: dict[str, str]) -> None:
    assert not (found := said(pages, re.compile(r"\d\.\d{3,}( degrees|°)"))), "\n".join(found)


def test_no_length_is_finer_than_a_micrometre_or_a_tenth_of_a_thou(pages: dict[str, str]) -> None:
    assert not (found := said(pages, re.compile(r"\d\.(\d{5,} in|\d{4,} mm)\b"))), "\n".join(found)


def test_in_an_inch_build_a_difference_is_said_in_thou(demo_pages: dict[str, str]) -> None:
    found = said(
        demo_pages,
        re.compile(
            r"(clearance|gap|interference|give or take|apart|within|differ by|lack)( of)? 0\.0\d+ in\b",
            re.IGNORECASE,
        ),
    )
    found += said(demo_pages, DIFFERENCES)
    assert not found, "\n".join(found)
    assert any(
        re.search(r"Clearance \d\.\d thou \(0\.\d{3} mm\): in limits", text) for text in demo_pages.values()
    )
    for bad in (
        "The dial swings 0.0014 in (0.036 mm) in a whole turn",
        "thin W1's flange to 0.1089 in (2.766 mm), by 0.0170 in (0.432 mm)",
        "rim back decides, with 0.0203 in (0.516 mm) more than is needed",
        "0.0097 in (0.246 mm) short of what is needed",
    ):
        assert said({"/bad": bad}, DIFFERENCES), bad

"""Arranging a scene through HTTP: forms are filled in from the pages themselves, as a browser would."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from contextlib import closing
from dataclasses import dataclass, field
from functools import partial
from html import unescape
from html.parser import HTMLParser
from sqlite3 import connect
from typing import Any
from urllib.parse import urlsplit, urlunsplit

from fastapi.testclient import TestClient
from httpx import Response

from webapp.db import Db
from webapp.web.register import FIRST, SHEETS

HX = {"HX-Request": "true"}
# A metric drawing in plain figures; the marks are left as proposed.
METRIC = {
    "unit": "mm",
    "gauge": "89",
    "back_to_back": "83.3",
    "tyre_width": "10",
    "flange_width": "2",
    "flange_depth": "2",
    "root_radius": "1.2",
    "tread_diameter": "110",
    "boss_diameter": "32",
    "boss_length": "15",
    "bore": "19.05",
    "seat": "19.05",
    "throw": "28",
    "crankpin_hole": "8",
    "fit_least": "0.02",
    "fit_most": "0.05",
}

# With these a hole of 8.01 and a pin of 7.98 mm are good: a bond's gap from 0.02 to 0.05 mm, a thrust of 500 N or so.
PIN_FIGURES = {
    "pin_fit": "bond", "pin_boss": "18 mm", "pin_seat": "7.97 mm", "pin_journal": "8 mm", "pin_overhang": "9 mm",
    "piston": "32 mm", "pressure": "6 bar",
}  # fmt: skip
PIN_MADE = {"pin_hole": "8.01", "pin_seat": "7.98", "pin_near": "0", "pin_far": "-0.012", "pin_over": "15"}

# Every sheet of a build that has something of everything.
# Every sheet of a first build, of its first axle and its first casting, and castings in other states.
PATHS = tuple(
    dict.fromkeys(
        (
            *(
                one.address.format(build_id=1, axle_id=1, casting_id=1, pattern_id=1)
                for one in (FIRST[0], *SHEETS)
                if not re.search("{(batch|count|instrument|jig|machine|chuck)_id}", one.address)
            ),
            "/axles/2", "/castings/3", "/castings/5", "/castings/6", "/castings/3/bore",
            *(f"/castings/1?open={part}" for part in ("sheets", "measured", "done", "mark")),
            "/axles/2", "/castings/3", "/castings/5", "/castings/6", "/builds/1?open=more-castings",
            "/builds/1?open=drawing", "/diary?of=build-1", "/diary?of=axle-1", "/diary?of=casting-1",
        )
    )
)  # fmt: skip


def addresses_of(path: str) -> list[str]:
    """The registered addresses that a route answers: one answers every form of the workshop's, one both ends of an axle."""
    if "{side}" in path:
        return [path.format(axle_id="{axle_id}", side=side) for side in ("left", "right")]
    if "{what}" not in path:
        return [path]
    return [
        path.format(what=what, row_id=f"{{{what}_id}}") for what in ("instrument", "machine", "chuck", "jig")
    ]


def slip_of(action: str, view: str = "casting") -> str:
    """The slip on which a form for readings stands, opened from an axle's sheet or from a casting's."""
    slip = action.removesuffix("s") if action.endswith(("/bores", "/throws")) else action
    return f"{slip}?view={view}"


# Every size that is logged alone, with what was typed.
SIZES = (
    "(SELECT m.*, r.text FROM measurement m JOIN reading r ON m.id = r.measurement_id"
    " WHERE m.kind NOT IN ('bore', 'throw', 'seat', 'weight', 'pin_heights'))"
)


def opened(path: str, part: str) -> str:
    """The address at which a folded part of a sheet lies open."""
    at = urlsplit(path)
    return urlunsplit(at._replace(query="&".join(filter(None, (at.query, f"open={part}")))))


@dataclass
class FormOnPage:
    """A form as the page gives it: its fields with their texts, and its buttons."""

    method: str
    action: str
    fields: dict[str, list[str]] = field(default_factory=dict)
    buttons: list[tuple[str, str]] = field(default_factory=list)
    choices: dict[str, list[str]] = field(default_factory=dict)

    def filled(self, **changes: object) -> dict[str, Any]:
        """The form with some fields typed into."""
        return {**self.fields, **changes}


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[FormOnPage] = []
        self._form: FormOnPage | None = None
        self._inside: FormOnPage | None = None
        self._named: dict[str, FormOnPage] = {}
        self._select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "form":
            self._inside = FormOnPage(given.get("method") or "get", given.get("action") or "")
            self.forms.append(self._inside)
            self._named[given.get("id") or ""] = self._inside
        # A field or a button may stand elsewhere and name its form.
        self._form = self._named[given["form"] or ""] if "form" in given else self._inside
        if self._form is None:
            return
        name, value = given.get("name") or "", given.get("value") or ""
        if tag == "input" and name:
            self._input(given.get("type") or "text", name, value, "checked" in given)
        elif tag == "button" and name:
            self._form.buttons.append((name, value))
        elif tag == "select":
            self._select = name
            self._form.fields[name] = []
        elif tag == "option" and ("selected" in given or not self._form.fields[self._select]):
            self._form.fields[self._select] = [value]

    def _input(self, kind: str, name: str, value: str, checked: bool) -> None:
        assert self._form is not None
        if kind in ("radio", "checkbox"):
            self._form.choices.setdefault(name, []).append(value)
            if not checked:
                return
        self._form.fields.setdefault(name, []).append(value)

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._form = self._inside = None


def forms_on(html: str) -> list[FormOnPage]:
    """Every form of a page."""
    reader = _Reader()
    reader.feed(html)
    return reader.forms


def form_on(html: str, action: str) -> FormOnPage:
    """The posting form of a page with this address."""
    found = [form for form in forms_on(html) if form.action == action and form.method == "post"]
    assert found, f"no form for {action} on the page"
    return found[0]


_ROW = re.compile(r'href="([^"#]+)#[^"]+" hx-get="[^"]+"\s+data-slip="([^"]+)"')


def folds_on(html: str) -> dict[str, str]:
    """What is folded on a page: the address that opens it, by its slip's id."""
    return {slip: unescape(address) for address, slip in _ROW.findall(html)}


def _slip(html: str, own: str) -> str:
    """What stands in a slip."""
    start = html.index(f'id="{own}"')
    start, depth = html.index(">", start) + 1, 1
    for tag in re.finditer(r"<div\b|</div>", html[start:]):
        depth += 1 if tag.group() != "</div>" else -1
        if not depth:
            return html[start : start + tag.start()]
    raise AssertionError(f"{own} has no end")


def unfolded(client: TestClient, html: str) -> str:
    """A page with everything on it that is folded opened, each by its own address."""
    for own, address in folds_on(html).items():
        if _slip(html, own).strip():
            continue
        answer = client.get(address)
        assert answer.status_code == 200, (address, answer.status_code)
        inside = _slip(answer.text, own)
        assert inside.strip(), f"{address} opens nothing"
        html = html.replace(f'id="{own}"></div>', f'id="{own}">{inside}</div>')
    return html


class Words(HTMLParser):
    """The words of a page, with the id of the element each stands in."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.text = ""
        self.by_id: dict[str, str] = {}
        self.described: dict[str, str] = {}
        self._open: list[tuple[str, str]] = []
        self.feed(html)
        # As a browser shows it: where a line of the template ends is nothing but a blank.
        self.text = " ".join(self.text.split())
        self.by_id = {own: " ".join(text.split()) for own, text in self.by_id.items()}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if "aria-describedby" in given:
            self.described[given.get("name") or ""] = given["aria-describedby"] or ""
        if tag not in ("input", "meta", "link", "br", "line", "path", "circle"):
            self._open.append((tag, given.get("id") or ""))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """A tag that closes itself, as in a picture, opens nothing."""

    def handle_endtag(self, tag: str) -> None:
        while self._open and self._open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        self.text += data
        for _, own in self._open:
            if own:
                self.by_id[own] = self.by_id.get(own, "") + data

    def at(self, name: str) -> str:
        """The sentence beside a field, found the way a screen reader finds it."""
        return self.by_id.get(self.described.get(name, ""), "")


@dataclass
class Bench:
    """One browser on one data file."""

    client: TestClient
    db: Db
    who: str = "AB"

    def get(self, path: str) -> str:
        """A page that must be there."""
        answer = self.client.get(path)
        assert answer.status_code == 200, answer.text[:2000]
        return answer.text

    def whole(self, path: str) -> str:
        """A page with everything on it that is folded opened, each by its own address."""
        return unfolded(self.client, self.get(path))

    def send(self, page: str, action: str, /, *, hx: bool = False, **changes: object) -> Response:
        """Open a page, or its folded part that has the form, fill the form in and send it."""
        return self.post(action, self.form(page, action).filled(**changes), hx=hx)

    def form(self, page: str, action: str) -> FormOnPage:
        """The form of a page with this address; where it lies folded, as it is once its fold is open."""
        html = self.get(page)
        posting = [form for form in forms_on(html) if form.action == action and form.method == "post"]
        return posting[0] if posting else form_on(unfolded(self.client, html), action)

    def post(self, action: str, data: dict[str, Any], *, hx: bool = False) -> Response:
        """Send a form."""
        return self.client.post(action, data=data, headers=HX if hx else {})

    def sit_down(self) -> Bench:
        """Let the device remember the initials."""
        assert self.client.post("/who", data={"initials": self.who, "back": "/"}).status_code == 303
        return self

    def start(self, *, curing: bool = False, **changes: object) -> int:
        """Start a build from the form's own figures; returns its id.

        Its compound has cured at once, so that a scene need not wait for a bond; unless it is about the curing.
        """
        page = self.get("/builds/new")
        answer = self.post(
            "/builds", form_on(page, "/builds").filled(name="Tank engine", who="AB", **changes)
        )
        assert answer.status_code == 303, Words(answer.text).text
        build = int(answer.headers["location"].rsplit("/", 1)[1])
        if not curing:
            with closing(connect(self.db.path)) as connection, connection:
                for key, text in (("handling", "0 min"), ("full_cure", "0.0000001 h")):
                    connection.execute("INSERT INTO joint_figure VALUES (?, ?, ?)", (build, key, text))
        return build

    def metric(self, *, curing: bool = False, **changes: object) -> int:
        """Start a metric build: two axles, W1 to W4 on them and W5, W6 spare."""
        figures = {**METRIC, "axles": "2", "coupled": "1 2", "castings": "6"}
        return self.start(curing=curing, **{**figures, **changes})

    def wish(self, mark: str, wish: str, /, *, hx: bool = False, **changes: object) -> Response:
        """Tap a button of a casting's checklist, on a page opened just now."""
        own = self.id(mark)
        return self.send(f"/castings/{own}", f"/castings/{own}/ticks", hx=hx, wish=wish, **changes)

    def tick(self, mark: str, *keys: str) -> None:
        """Tick stages or steps, which must be taken; what is in doubt is let pass, for the scene."""
        for key in keys:
            self._arrange(mark, "ticks", wish=f"yes {key} confirmed", reason="for the scene")

    def _arrange(self, mark: str, what: str, **fields: object) -> None:
        """Do it without opening the page first, which would double the time of every scene."""
        own, version = self.rows("SELECT id, version FROM casting WHERE mark = ? AND build_id = 1", mark)[0]
        answer = self.post(f"/castings/{own}/{what}", {"seen": str(version), **fields})
        assert answer.status_code == 303, Words(answer.text).text

    def log(self, mark: str, kind: str, /, *readings: str, hx: bool = False, **changes: object) -> Response:
        """Log a bore or a throw from a page opened just now."""
        own = self.id(mark)
        action = f"/castings/{own}/{kind}s"
        page = slip_of(action)
        return self.send(page, action, hx=hx, reading=list(readings), **changes)

    def seat(self, axle: int, side: str, /, *readings: str, **changes: object) -> Response:
        """Log a seat."""
        page = f"/axles/{axle}/seats/{side}"
        return self.send(page, page, reading=list(readings), **changes)

    def seats(self, size: str = "19.05 mm", axles: tuple[int, ...] = (1, 2)) -> None:
        """Log both seats of these axles."""
        for axle in axles:
            for side in ("left", "right"):
                assert self.seat(axle, side, size).status_code == 303

    def bored(self, *marks: str, bore: str = "19.08 mm") -> None:
        """Bring wheels to bored, with a bore logged that serves a bond on the drawing's seat."""
        front_first = self.one("SELECT route FROM build WHERE id = 1") == "front_first"
        cut = ("bored", "back_faced") if front_first else ("back_faced", "bored")
        for mark in marks:
            self.tick(mark, "received", *cut)
            self._arrange(mark, "bores", reading=bore)

    def pins_in(self, *marks: str) -> None:
        """Crankpins measured, good, and ticked in without a question; the drawing is the metric one."""
        joints = "/builds/1/joints"
        # The engine's own load is left out: the wheels' joints would be judged by it too.
        figures = {key: text for key, text in PIN_FIGURES.items() if key.startswith("pin_")}
        assert self.send(joints, joints, **figures).status_code == 303
        for mark in marks:
            self._arrange(mark, "crankpin", **PIN_MADE)
            assert self.wish(mark, "yes painted.pin").status_code == 303

    def quartered(self, axle: int = 1, marks: tuple[str, str] = ("W1", "W2")) -> None:
        """Bring an axle to quartered."""
        self.bored(*marks)
        for mark in marks:
            self._arrange(mark, "throws", reading="28.01 mm")
            self.tick(mark, "pressed", "tread_turned")
        answer = self.send(f"/axles/{axle}", f"/axles/{axle}/ticks", wish="yes quartered confirmed")
        assert answer.status_code == 303, Words(answer.text).text

    def scrap(self, mark: str, **changes: object) -> Response:
        """Scrap a casting."""
        own = self.id(mark)
        fields = {"reason": "cracked", **changes}
        return self.send(f"/castings/{own}/scrap", f"/castings/{own}/scrap", **fields)

    def unscrap(self, mark: str) -> Response:
        """Undo a scrapping."""
        own = self.id(mark)
        return self.send(f"/castings/{own}", f"/castings/{own}/unscrap")

    def place(self, axle: int, side: str, mark: str) -> Response:
        """Put a spare in an empty place."""
        action = f"/axles/{axle}/places/{side}"
        return self.send(f"/axles/{axle}", action, casting=str(self.id(mark)))

    def rows(self, sql: str, *values: object) -> list[tuple[Any, ...]]:
        """What the data file itself says."""
        with closing(connect(self.db.path)) as connection:
            return connection.execute(sql, values).fetchall()

    def one(self, sql: str, *values: object) -> Any:
        """One value from the data file."""
        return self.rows(sql, *values)[0][0]

    def put(self, kind: str, value: int | None, *readings: tuple[object, ...], **columns: object) -> int:
        """A measurement straight into the data file; each reading is a value, a text, a place and a direction."""
        row = {"build_id": 1, "unit": "nm", "instrument": "", "who": "AB", "at": "2026-01-01 10:00:00.000000"}
        row |= {"kind": kind, "value": value, **columns}
        marks = ", ".join("?" * len(row))
        with closing(connect(self.db.path)) as connection, connection:
            own = connection.execute(
                f"INSERT INTO measurement ({', '.join(row)}) VALUES ({marks})", tuple(row.values())
            ).lastrowid
            for ordinal, (read, text, place, direction) in enumerate(readings, start=1):
                connection.execute(
                    "INSERT INTO reading (measurement_id, ordinal, value, text, place, direction)"
                    " VALUES (?, ?, ?, ?, ?, ?)",
                    (own, ordinal, read, text, place, direction),
                )
        assert own is not None
        return own

    def put_batch(self, set_up: str, *castings: int) -> None:
        """A batch that runs, straight into the data file: the first one of its build."""
        with closing(connect(self.db.path)) as connection, connection:
            connection.execute(
                "INSERT INTO work_batch VALUES (1, 1, ?, '', 'AB', '2026-01-01 10:00:00.000000', 0)",
                (set_up,),
            )
            rows = [(ordinal, own) for ordinal, own in enumerate(castings, start=1)]
            connection.executemany("INSERT INTO work_batch_wheel VALUES (1, ?, ?, 0)", rows)

    def heights(
        self, axle: int, centre: int, left: int, right: int, *, expanded_nm: int | None = None, at: str
    ) -> None:
        """An axle's crankpins in vee blocks straight into the data file: the left one behind, the right one in front."""
        wheels = self.rows("SELECT id FROM casting WHERE axle_id = ? ORDER BY side", axle)
        self.put(
            "pin_heights",
            None,
            (centre, "60", "centre", None),
            (left, "", "left", "rear"),
            (right, "", "right", "front"),
            axle_id=axle,
            left_casting_id=wheels[0][0],
            right_casting_id=wheels[1][0],
            expanded=expanded_nm,
            at=at,
        )

    def id(self, mark: str, build: int = 1) -> int:
        """A casting's id."""
        found: int = self.one("SELECT id FROM casting WHERE mark = ? AND build_id = ?", mark, build)
        return found

    def ticks(self, mark: str) -> set[str]:
        """The keys ticked on a casting."""
        return {key for (key,) in self.rows("SELECT key FROM tick WHERE casting_id = ?", self.id(mark))}

    def at(self, mark: str) -> tuple[Any, ...]:
        """State, axle and side of a casting."""
        return self.rows("SELECT state, axle_id, side FROM casting WHERE id = ?", self.id(mark))[0]

    def journal(self, mark: str | None = None) -> list[str]:
        """The journal's sentences, oldest first; of one casting or of everything."""
        if mark is None:
            return [s for (s,) in self.rows("SELECT sentence FROM journal_line ORDER BY id")]
        own = self.id(mark)
        sql = "SELECT sentence FROM journal_line WHERE casting_id = ? ORDER BY id"
        return [s for (s,) in self.rows(sql, own)]

    def dump(self) -> list[str]:
        """The whole data file as text."""
        with closing(connect(self.db.path)) as connection:
            return list(connection.iterdump())

    def refused(self, act: Callable[[], Response] | partial[Response], *statuses: int) -> Words:
        """Do it; it must be refused in words, and store nothing."""
        before = self.dump()
        answer = act()
        assert answer.status_code in (statuses or (422,)), (answer.status_code, Words(answer.text).text[:500])
        assert self.dump() == before
        return Words(answer.text)


def every_form(bench: Bench) -> list[FormOnPage]:
    """Every form on every sheet."""
    found = []
    for path in PATHS:
        answer = bench.client.get(path)
        assert answer.status_code == 200, path
        found += forms_on(unfolded(bench.client, answer.text))
    return found


def bands_on(html: str) -> list[str]:
    """How each band of a size on a page looks."""
    return re.findall(r'<svg class="band"[^>]* data-answer="([^"]*)"', html)


def is_whole(html: str) -> bool:
    """Whether an answer is a whole page."""
    return html.lstrip().lower().startswith("<!doctype html>")


def sentences(found: Iterable[str], *parts: str) -> bool:
    """Whether some sentence holds all the parts."""
    return any(all(part in one for part in parts) for one in found)

"""The house's rules, read off the source: which part may know which, and what may stand where.

Each rule is a function from source text to complaints; each is also shown a bad sample, so that none can rot.
"""

import ast
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from jinja2 import Environment, nodes

ROOT = Path(__file__).parents[2]
DATABASE = ("sqlmodel", "sqlalchemy", "sqlite3", "alembic", "webapp.db", "webapp.models", "webapp.upgrade")
WEB = ("fastapi", "starlette", "jinja2", "uvicorn", "webapp.web", "webapp.render", "webapp.app")
OUTSIDE = ("webapp", *DATABASE, *WEB)
CLOCKS = {"now", "utcnow", "today", "time", "monotonic", "perf_counter", "time_ns"}
MACHINE = {"random", "secrets", "os", "time", "socket", "subprocess"}
OWN_TABLE = re.compile(r"(files\('domain'\)|Path\(__file__\)).*'tables'")
FILES = {"open", "read_text", "read_bytes", "write_text", "write_bytes"}
WRITES = {"add", "add_all", "delete", "commit", "flush", "merge", "write"}
STATEMENTS = {"update", "insert", "delete"}
# What text for a page is called, by its end, and what would take a figure or another sentence out of it.
SAID = (
    "words",
    "headline",
    "reason",
    "source",
    "result",
    "numbers",
    "gain",
    "shown",
    "show",
    "show_in",
    "plain",
    "fine",
)
CUTS = {"split", "rsplit", "partition", "rpartition", "replace", "find", "index"}
CUTS |= {"removeprefix", "removesuffix", "startswith", "endswith", "splitlines"}
HTML = re.compile(r"(?<!\?P)</?[a-z][a-z0-9-]*(\s[^<>]*)?/?>", re.IGNORECASE)
SQL = tuple(name for name in DATABASE if name != "webapp.db")
FORBIDDEN = {
    "domain": OUTSIDE,
    "webapp/typed": (*DATABASE, *WEB),
    "webapp/records": WEB,
    "webapp/facts": WEB,
    "webapp/acts": WEB,
    "webapp/drawing": (*DATABASE, *WEB),
    "webapp/exchange": WEB,
}
ROLES_FORBIDDEN = {
    "form": (*DATABASE, "jinja2"),
    "drawing": (*DATABASE, *WEB),
    "view": WEB,
    "change": WEB,
    "page": (*SQL, "jinja2", "webapp.app"),
}
# What a room or a file by its role may know of the program, besides its own folder; `domain` all but `domain` may know.
ROOMS = {
    "typed": ("typed",),
    "records": ("typed", "records", "models", "db"),
    "drawing": ("drawing",),
    "facts": ("typed", "records", "models", "drawing", "facts"),
    "acts": ("typed", "records", "models", "db", "facts", "acts"),
    "exchange": ("typed", "records", "models", "exchange"),
    "web": ("typed", "records", "facts", "web", "render", "errors", "db", "faults"),
    "devices": ("devices", "datafile", "faults", "settings"),
}
ROLES = {
    "form": ("typed",),
    "drawing": ("drawing",),
    "view": ("typed", "records", "models", "drawing", "facts"),
    "change": ("typed", "records", "models", "db", "facts", "acts", "exchange"),
    "page": (
        "typed",
        "records",
        "facts",
        "acts",
        "exchange",
        "web",
        "render",
        "errors",
        "db",
        "devices",
        "copies",
    ),
}
# Which files of its own folder a file of a sheet may know. A change knows its view, for the journal's sentence is the
# sheet's own.
OWN = {
    "form": {"form"},
    "drawing": {"drawing"},
    "view": {"form", "view", "drawing"},
    "change": {"form", "view", "change"},
    "page": {"form", "view", "change", "drawing", "page"},
}


def imports(tree: ast.AST) -> Iterator[str]:
    """Every module that is imported, wherever in the file; `from a import b` may mean the module a.b."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written in full"
            yield str(node.module)
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def called(tree: ast.AST) -> Iterator[tuple[ast.Call, str, bool]]:
    """Every call: its node, the last name called, and whether it is a method of something."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            yield node, node.func.attr, True
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            yield node, node.func.id, False


def wrong_imports(source: str, forbidden: tuple[str, ...]) -> list[str]:
    """Imports of what this part may not know."""
    found = set(imports(ast.parse(source)))
    return sorted(
        name for name in found if any(name == bad or name.startswith(f"{bad}.") for bad in forbidden)
    )


def wrong_arrows(file: str, source: str) -> list[str]:
    """Imports that a file of this place and role may not have, of the program's own."""
    place = file.removesuffix(".py").split("/")[1:]
    found = sorted({name for name in imports(ast.parse(source)) if name.startswith("webapp.")})
    if place[0] == "sheets" and len(place) > 2:
        return [name for name in found if not _sheet_may(place, name.split(".")[1:])]
    known = ROOMS.get(place[0])
    return [] if known is None else [name for name in found if name.split(".")[1] not in known]


def _sheet_may(place: list[str], name: list[str]) -> bool:
    """Whether a file of a sheet may know a name; `from webapp import render` also names the module it is in."""
    role = place[2].partition("_")[0]
    if role not in ROLES:
        return role == ""  # __init__, which has nothing in it
    if name[0] != "sheets":
        return name[0] in ROLES[role]
    return name[1] == place[1] and (len(name) < 3 or name[2].partition("_")[0] in OWN[role])


def circles(files: dict[str, str]) -> list[str]:
    """Packages of a tree that know each other, by any way round; a file at the tree's top is no package."""
    known: dict[str, set[str]] = {}
    for file, source in files.items():
        parts = file.removesuffix(".py").split("/")
        if len(parts) > 2:
            names = {
                name.split(".")[1] for name in imports(ast.parse(source)) if name.startswith(f"{parts[0]}.")
            }
            known.setdefault(parts[1], set()).update(names)
    known = {package: names & known.keys() - {package} for package, names in known.items()}
    while leaves := {package for package, names in known.items() if not names}:
        known = {package: names - leaves for package, names in known.items() if package not in leaves}
    return sorted(known)


def clocks_and_files(source: str) -> list[str]:
    """Looks at the clock, the chance or the files of the machine; a part's own table is no such file."""
    tree = ast.parse(source)
    assigned = {
        ast.unparse(node.targets[0]): ast.unparse(node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Assign)
    }
    modules = [name for name in imports(tree) if name.split(".")[0] in MACHINE]
    clocks = [name for _, name, method in called(tree) if method and name in CLOCKS]
    files = [ast.unparse(node.func).rpartition(".")[0] for node, name, _ in called(tree) if name in FILES]
    return (
        modules + clocks + [file or "open" for file in files if not OWN_TABLE.match(assigned.get(file, file))]
    )


def writes(source: str) -> list[str]:
    """Changes to the database: session methods, and statements that are not reads."""
    tree = ast.parse(source)
    sql = [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and re.match(r"\s*(insert|update|delete|replace|drop|alter|create)\s", node.value, re.IGNORECASE)
        and not node.value.endswith(".")
    ]
    methods = [
        f"{node.func.value.id}.{name}"  # type: ignore[attr-defined]
        for node, name, method in called(tree)
        if method
        and name in WRITES
        and isinstance(node.func.value, ast.Name)  # type: ignore[attr-defined]
        and node.func.value.id in {"session", "db"}  # type: ignore[attr-defined]
    ]
    return sql + methods + [name for _, name, method in called(tree) if not method and name in STATEMENTS]


def own_transactions(source: str) -> list[str]:
    """Writes that are not begun by `records/change.py`."""
    return [
        ast.unparse(node)
        for node, name, method in called(ast.parse(source))
        if method and name == "write" and ast.unparse(node).endswith("db.write()")
    ]


def html(source: str) -> list[str]:
    """Tags in Python strings; a docstring may speak of one."""
    tree = ast.parse(source)
    documents = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    texts = [text for node in ast.walk(tree) if id(node) not in documents and (text := _text(node))]
    return [text for text in texts if HTML.search(text)]


def cut_words(source: str) -> list[str]:
    """Sentences and figures as written that are split, searched or put otherwise: who wants a figure asks for it."""
    tree = ast.parse(source)
    cuts = [
        node
        for node, name, method in called(tree)
        if method and ((name in CUTS and _last(node.func.value).endswith(SAID)) or _is_sub(node))  # type: ignore[attr-defined]
    ]
    sought = [
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.Compare)
        and isinstance(node.ops[0], ast.In | ast.NotIn)
        and isinstance(node.left, ast.Constant)
        and _last(node.comparators[0]).endswith(SAID)
    ]
    return [ast.unparse(node) for node in (*cuts, *sought)]


def twice_named(files: dict[str, str]) -> list[str]:
    """Names that several files give to a class of their own; a class that only its file knows begins with _."""
    names = [
        node.name
        for source in files.values()
        for node in ast.parse(source).body
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_")
    ]
    return sorted({name for name in names if names.count(name) > 1})


def _last(node: ast.AST) -> str:
    """The last name of what is looked at: of a call's result, that of what is called."""
    if isinstance(node, ast.Call):
        return _last(node.func)
    return getattr(node, "attr", getattr(node, "id", ""))


def _is_sub(node: ast.Call) -> bool:
    return ast.unparse(node.func) == "re.sub"


def _text(node: ast.AST) -> str:
    """The text of a string; what an f-string puts in is a blank."""
    if isinstance(node, ast.JoinedStr):
        return "".join(_text(part) or " " for part in node.values)
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else ""


def arithmetic(source: str) -> list[str]:
    """Sums in a template; joining text with ~ is none, and neither is counting with loop.index."""
    kinds = (nodes.Add, nodes.Sub, nodes.Mul, nodes.Div, nodes.FloorDiv, nodes.Mod, nodes.Pow, nodes.Neg)
    found = Environment().parse(source).find_all(kinds)
    sums = {"abs", "round", "sum", "int", "float"}
    filters = (node.name for node in Environment().parse(source).find_all(nodes.Filter))
    return [f"line {node.lineno}: {type(node).__name__}" for node in found] + [
        name for name in filters if name in sums
    ]


def inline(source: str) -> list[str]:
    """Script and style that the content policy would stop, and ways round the escaping."""
    patterns = (
        r"<script(?![^>]*\ssrc=)[^>]*>",
        r"<style[\s>]",
        r"\sstyle\s*=",
        r"\son[a-z]+\s*=",
        r"\shx-on[:a-z-]*\s*=",
        r"javascript:",
        r"\|\s*safe\b",
        r"autoescape\s+false",
    )
    bare = re.sub(r"\{#.*?#\}", "", source, flags=re.DOTALL)
    return [found[0].strip() for pattern in patterns for found in re.finditer(pattern, bare, re.IGNORECASE)]


def leaves_the_machine(source: str) -> list[str]:
    """Addresses of other machines that a page would fetch; a namespace is a name, not an address."""
    fetched = r"(?:src|href|action|url\(|@import|hx-[a-z]+)\s*=?\s*[\"'(]?\s*(?:https?:)?//[^\s\"')]+"
    return [found[0] for found in re.finditer(fetched, source, re.IGNORECASE)]


def python(folder: str) -> list[Path]:
    """The Python files under a folder."""
    return sorted((ROOT / folder).rglob("*.py"))


def complaints(files: list[Path], rule: Callable[[str], list[str]]) -> dict[str, list[str]]:
    """What a rule finds, by file."""
    found = {str(file.relative_to(ROOT)): rule(file.read_text()) for file in files}
    assert found, "the rule was shown no file"
    return {file: what for file, what in found.items() if what}


TEMPLATES = sorted((ROOT / "templates").rglob("*.*"))
STATIC = [
    file
    for file in (ROOT / "static").glob("*.*")
    if file.suffix in {".css", ".js"} and "htmx" not in file.name
]


def by_role(role: str) -> list[Path]:
    """The files of the sheets that have a role; a name may say more after it, as in view_turn."""
    return [file for file in python("webapp/sheets") if file.stem.partition("_")[0] == role]


@pytest.mark.parametrize("part", FORBIDDEN)
def test_imports_point_down(part: str) -> None:
    assert complaints(python(part), lambda source: wrong_imports(source, FORBIDDEN[part])) == {}


@pytest.mark.parametrize("role", ROLES_FORBIDDEN)
def test_a_file_of_a_sheet_knows_what_its_role_may(role: str) -> None:
    assert complaints(by_role(role), lambda source: wrong_imports(source, ROLES_FORBIDDEN[role])) == {}


def test_arrows_go_as_the_house_is_drawn() -> None:
    found = {str(file.relative_to(ROOT)): file.read_text() for file in python("webapp")}
    assert {name: wrong for name, text in found.items() if (wrong := wrong_arrows(name, text))} == {}


def test_every_file_of_a_sheet_has_a_role() -> None:
    odd = [file.name for file in python("webapp/sheets") if file.stem.partition("_")[0] not in {*ROLES, ""}]
    assert odd == []


def test_the_trades_rooms_form_no_circle() -> None:
    assert circles({str(file.relative_to(ROOT)): file.read_text() for file in python("domain")}) == []


def test_the_trade_looks_at_no_clock_and_no_file_but_its_tables() -> None:
    assert complaints(python("domain"), clocks_and_files) == {}


def test_facts_and_views_never_write() -> None:
    assert complaints(python("webapp/facts") + by_role("view"), writes) == {}


def test_one_way_of_a_write() -> None:
    others = [file for file in python("webapp") if file.name != "change.py" or "sheets" in file.parts]
    assert complaints(others, own_transactions) == {}


def test_only_app_joins_the_parts() -> None:
    others = [file for file in python("webapp") if file.name not in {"app.py", "__main__.py"}]
    assert complaints(others, lambda source: wrong_imports(source, ("webapp.app",))) == {}


def test_no_html_in_python() -> None:
    assert complaints(python("domain") + python("webapp"), html) == {}


def test_nothing_is_cut_out_of_a_sentence() -> None:
    # What a person typed is put straight before it is read.
    typed = ROOT / "domain/lengths/parsing.py"
    files = [file for file in python("domain") + python("webapp") if file != typed]
    assert complaints(files, cut_words) == {}


def test_a_class_name_means_one_thing() -> None:
    found = {str(file): file.read_text() for file in python("domain") + python("webapp")}
    assert twice_named(found) == []


def test_templates_do_no_sums() -> None:
    assert complaints(TEMPLATES, arithmetic) == {}


def test_templates_have_no_inline_script_or_style() -> None:
    assert complaints(TEMPLATES, inline) == {}


def test_nothing_is_fetched_from_elsewhere() -> None:
    assert complaints(TEMPLATES + STATIC, leaves_the_machine) == {}


BAD = [
    (lambda s: wrong_imports(s, OUTSIDE), "from sqlmodel import Session"),
    (lambda s: wrong_imports(s, OUTSIDE), "def f():\n    import webapp.db as d"),
    (lambda s: wrong_imports(s, OUTSIDE), "from fastapi.responses import Response"),
    (lambda s: wrong_imports(s, ("webapp.web",)), "from webapp import web"),
    (lambda s: wrong_arrows("webapp/sheets/rods/form.py", s), "from webapp.facts.rods import judge"),
    (
        lambda s: wrong_arrows("webapp/sheets/rods/drawing_plot.py", s),
        "from webapp.records.views import BuildView",
    ),
    (lambda s: wrong_arrows("webapp/sheets/rods/view.py", s), "from webapp.sheets.cranks.view import x"),
    (lambda s: wrong_arrows("webapp/sheets/rods/view.py", s), "from webapp.sheets.rods.change import save"),
    (lambda s: wrong_arrows("webapp/sheets/rods/change.py", s), "from webapp.web.common import see"),
    (lambda s: wrong_arrows("webapp/sheets/rods/page.py", s), "from webapp.models import Build"),
    (lambda s: wrong_arrows("webapp/sheets/rods/helper.py", s), "from webapp.typed.texts import Typed"),
    (lambda s: wrong_arrows("webapp/facts/rods.py", s), "from webapp.sheets.rods.view import x"),
    (lambda s: wrong_arrows("webapp/exchange/storing.py", s), "from webapp.facts.rods import judge"),
    (lambda s: wrong_arrows("webapp/typed/texts.py", s), "def f():\n    from webapp import records"),
    (lambda s: wrong_arrows("webapp/devices/gate.py", s), "from webapp.web.common import see"),
    (lambda s: circles({"domain/a/x.py": s, "domain/b/y.py": "import domain.a.x"}), "from domain.b import y"),
    (
        lambda s: circles(
            {"domain/a/x.py": s, "domain/b/y.py": "import domain.c.z", "domain/c/z.py": "import domain.a.x"}
        ),
        "from domain.b.y import z",
    ),
    (clocks_and_files, "from datetime import datetime\nx = datetime.now()"),
    (clocks_and_files, "import time"),
    (clocks_and_files, "open('x')"),
    (clocks_and_files, "import random"),
    (clocks_and_files, "Path('x').read_text()"),
    (clocks_and_files, "_TABLE = Path('tables')\n_TABLE.open()"),
    (writes, "session.add(row)"),
    (writes, "def f(session):\n    session.commit()"),
    (writes, "session.exec(update(Build))"),
    (writes, "session.exec(text('DELETE FROM build'))"),
    (writes, "with db.write() as session:\n    pass"),
    (own_transactions, "with db.write() as session:\n    pass"),
    (own_transactions, "def f(bench):\n    with bench.db.write():\n        pass"),
    (html, "x = '<p>no</p>'"),
    (html, "x = f'<b class=\"{y}\">'"),
    (html, "x = '<br/>'"),
    (cut_words, "first = shown(found).split('. ')[0]"),
    (lambda s: twice_named({"domain/a.py": s, "webapp/b.py": s}), "class Line:\n    pass"),
    (cut_words, "name = self.words.removesuffix(', C')"),
    (cut_words, "source = working.source.replace(old, new)"),
    (cut_words, "kind = 'slack' if 'slack' in verdict.headline else 'tight'"),
    (cut_words, "held = re.sub('N m', 'lbf ft', held)"),
    (arithmetic, "{{ a + 1 }}"),
    (arithmetic, "{% if a - b > 0 %}{% endif %}"),
    (arithmetic, "{{ a * b / c }}"),
    (arithmetic, "{{ a|round }}"),
    (arithmetic, "{{ -a }}"),
    (inline, "<script>alert(1)</script>"),
    (inline, '<p style="color: red">'),
    (inline, "<style>p {}</style>"),
    (inline, '<button onclick="go()">'),
    (inline, '<a href="javascript:go()">'),
    (inline, "{{ text|safe }}"),
    (leaves_the_machine, '<script src="https://cdn.example/x.js">'),
    (leaves_the_machine, '<img src="//cdn.example/x.png">'),
    (leaves_the_machine, "body { background: url(https://cdn.example/x.png) }"),
]
GOOD = [
    (
        lambda s: wrong_arrows("webapp/sheets/rods/page.py", s),
        "from webapp.sheets.rods import form",
    ),
    (
        lambda s: wrong_arrows("webapp/sheets/rods/view_turn.py", s),
        "from webapp.sheets.rods.drawing_plot import plot",
    ),
    (
        lambda s: circles({"domain/a/x.py": s, "domain/b/y.py": "import domain.words"}),
        "from domain.b import y",
    ),
    (lambda s: wrong_imports(s, OUTSIDE), "from domain import length\nimport webapplication"),
    (clocks_and_files, "from datetime import datetime\ndef f(at: datetime): return at.isoformat()"),
    (clocks_and_files, "_TABLE = Path(__file__).parent / 'tables' / 'a.toml'\n_TABLE.open()"),
    (writes, "session.exec(select(Build))\nseen.add(1)"),
    (own_transactions, "with db.read() as session:\n    file.write(text)"),
    (html, '"""Writes <p> somewhere."""\nx = 3 < y > 2\nz = "a < b and c > d"'),
    (
        cut_words,
        "one = replace(working, source=by_whom)\nat = now().replace(second=0)\nx = text.split() + words[1:]",
    ),
    (arithmetic, "{{ a ~ b }}{{ loop.index }}{{ 12 }}"),
    (inline, '<script src="/static/app.js" defer></script>{# style= #}<p class="on">'),
    (leaves_the_machine, '<svg xmlns="http://www.w3.org/2000/svg"><a href="/builds">'),
]


@pytest.mark.parametrize(("rule", "sample"), BAD)
def test_each_rule_sees_what_is_wrong(rule: Callable[[str], list[str]], sample: str) -> None:
    assert rule(sample)


@pytest.mark.parametrize(("rule", "sample"), GOOD)
def test_each_rule_lets_pass_what_is_right(rule: Callable[[str], list[str]], sample: str) -> None:
    assert rule(sample) == []

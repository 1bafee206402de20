"""What the documents name is there: files, folders and commands."""

import argparse
import re
from pathlib import Path

import pytest

from webapp.__main__ import _parser
from webapp.web.register import FIRST, SHEETS

ROOT = Path(__file__).parents[1]
DOCUMENTS = ("README.md", "DEVELOPERS.md")
# Where a name in a document may be looked for.
PLACES = (
    "",
    *(f"webapp/{room}/" for room in ("records", "facts", "web", "typed", "sheets/wheel")),
    "domain/joints/",
)
MADE_UP = ("colour_of_the_paint",)


@pytest.mark.parametrize("name", DOCUMENTS)
def test_every_file_that_is_named_is_there(name: str) -> None:
    text = (ROOT / name).read_text()
    named = set(re.findall(r"`((?:domain|webapp|templates|static|tests|migrations|\.ci)/[\w./-]*)`", text))
    assert name == "README.md" or len(named) > 30
    missing = [one for one in named if not (ROOT / one).exists() and not any(made in one for made in MADE_UP)]
    assert missing == []


def test_the_picture_of_the_house_names_every_subject() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text()
    picture = text[text.index("```") : text.index("```", text.index("```") + 3)]
    subjects = {folder.name for folder in (ROOT / "domain").iterdir() if (folder / "__init__.py").exists()}
    assert subjects and [one for one in sorted(subjects) if one not in picture] == []


def test_the_way_of_a_bore_names_files_that_are_there() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text()
    way = text[text.index("### The way of one bore reading") : text.index("### Five things")]
    names = re.findall(r"`([\w/]+\.(?:py|html))`", way)
    assert len(names) > 12
    assert [one for one in names if not any((ROOT / place / one).exists() for place in PLACES)] == []


def test_every_file_named_in_the_source_is_there() -> None:
    """A comment that sends its reader to a file sends him to one that is there."""
    files = [
        file
        for folder in ("domain", "webapp", "templates", "static", "migrations", "tests")
        for file in (ROOT / folder).rglob("*")
        # The rules' bad samples and the sample of a migration name files that are not there.
        if file.suffix in {".py", ".html", ".js", ".css"}
        and file.name not in {"test_arrows.py", "test_docs.py"}
    ]
    assert len(files) > 300
    named = {
        (str(file.relative_to(ROOT)), one)
        for file in files
        for one in re.findall(
            r"\b((?:domain|webapp|templates|static|migrations)/[\w/]+\.(?:py|html|toml|js))", file.read_text()
        )
    }
    assert named
    assert sorted((where, one) for where, one in named if not (ROOT / one).exists()) == []


def _given() -> tuple[set[str], set[str]]:
    """The commands and the options that the program takes, of itself and of each command."""
    parser = _parser()
    (commands,) = (one for one in parser._actions if isinstance(one, argparse._SubParsersAction))
    parsers = [parser, *commands.choices.values()]
    options = {
        text
        for one in parsers
        for action in one._actions
        for text in action.option_strings
        if text[:2] == "--"
    }
    return set(commands.choices), options


def test_the_readme_names_every_command_and_option() -> None:
    text = (ROOT / "README.md").read_text()
    commands, options = _given()
    assert {"backup", "doctor"} <= commands
    assert {"--data", "--host"} <= options
    assert [one for one in sorted(commands) if f"spokeshed {one}" not in text] == []
    assert [one for one in sorted(options) if one not in text] == []


def test_the_readme_names_every_sheet() -> None:
    text = (ROOT / "README.md").read_text()
    names = {sheet.name for sheet in (*FIRST, *SHEETS)}
    assert len(names) > 40
    # A single instrument, machine, chuck or jig is opened from its list; a new device comes to its sheet by itself.
    by_themselves = {"Instrument", "Machine", "Chuck", "Drilling jig", "A new device"}
    assert {name for name in names if f"*{name}" not in text} == by_themselves
    assert "Each new device is asked for the code once" in text


def test_the_readme_shows_only_pictures_that_are_there() -> None:
    text = (ROOT / "README.md").read_text()
    shown = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", text)
    assert [one for one in shown if not (ROOT / one).is_file()] == []
    taken = sorted((ROOT / "tests/screens").glob("*.png"))
    assert sorted(shown) == [str(one.relative_to(ROOT)) for one in taken]
    assert len(taken) >= 4
    assert [one.name for one in taken if one.stat().st_size > 120_000] == []

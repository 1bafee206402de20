"""A stage that nobody thought of: added as a developer would, in a copy of the program, and every sheet still works.

The edits are to the text of the two tables, so nothing but those tables can know of the stage.
"""

import os
import re
import subprocess
import sys
from pathlib import Path
from shutil import copytree, ignore_patterns

import pytest

from domain.route import set_ups, stages
from domain.route.stages import tickable

ROOT = Path(__file__).parents[2]
TOLD = "with_new_stage.py"
# Each text, and what is put in after it.
STAGE = (
    ('    QUARTERED = "quartered"\n', '    BALANCED = "balanced"\n'),
    (
        "_TABLE: dict[Stage, _About] = {\n",
        '    Stage.BALANCED: _About(steps=(Step("balanced.weighed", "weighed against its fellow"),)),\n',
    ),
    ("        Stage.QUARTERED,\n", "        Stage.BALANCED,\n"),
)
SET_UP = (
    ('    QUARTERING = "quartering"\n', '    BALANCING = "balancing"\n'),
    ('    QUARTER = "quarter"\n', '    BALANCE = "balance"\n'),
    (
        "_WORKS: dict[Work, tuple[str, Stage]] = {\n",
        '    Work.BALANCE: ("balance the wheel", Stage.BALANCED),\n',
    ),
    (
        "_SET_UPS: dict[SetUp, _SetOut] = {\n",
        '    SetUp.BALANCING: _SetOut("on the knife edges", (Work.BALANCE,), "One after the other."),\n',
    ),
)


def _edit(copy: Path, module: str, edits: tuple[tuple[str, str], ...]) -> None:
    path = copy / Path(module).relative_to(ROOT)
    text = path.read_text()
    for after, new in edits:
        assert after in text, (
            f"{path.name} has no line {after.strip()!r} any more: mend the edit of this test"
        )
        text = text.replace(after, after + new)
    path.write_text(text)


@pytest.mark.parametrize("with_set_up", [False, True], ids=["alone", "with a set-up"])
def test_a_stage_added_to_the_table_works_on_every_sheet(tmp_path: Path, with_set_up: bool) -> None:
    copy = tmp_path / "copy"
    copytree(ROOT, copy, ignore=ignore_patterns(".*", "__pycache__", "browser", "benchmarks"))
    _edit(copy, stages.__file__, STAGE)
    if with_set_up:
        _edit(copy, set_ups.__file__, SET_UP)
    told = copy / Path(__file__).relative_to(ROOT).with_name(TOLD)
    only = ("-k", "copy or with_a_set_up") if with_set_up else ("-k", "not with_a_set_up")
    ran = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", str(told), *only],
        cwd=copy,
        env={**os.environ, "PYTHONPATH": str(copy)},
        capture_output=True,
        text=True,
    )
    assert ran.returncode == 0, ran.stdout[-8000:] + ran.stderr[-2000:]
    assert re.search(r"\b\d+ passed", ran.stdout), ran.stdout


@pytest.mark.parametrize("folder", ["domain", "webapp", "templates"])
def test_a_step_named_anywhere_is_in_the_table(folder: str) -> None:
    """A step's key in the source or on a page, such as “bored.reamed”, must be one there is."""
    named = re.compile(rf"[\" ]((?:{'|'.join(stages.Stage)})\.[a-z_]+)\"")
    found = [
        (path.name, key)
        for path in (ROOT / folder).rglob("*.*")
        if path.suffix in (".py", ".html")
        for key in named.findall(path.read_text())
    ]
    assert found
    assert [one for one in found if tickable(one[1]) is None and not one[1].endswith(".html")] == []

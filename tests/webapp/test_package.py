"""The wheel, built and installed elsewhere, serves the demo; and what the README says is what is run."""

import os
import re
import subprocess
import sys
import zipfile
from pathlib import Path
from threading import Timer

import httpx
import pytest

ROOT = Path(__file__).parents[2]
PATIENCE = 180


def _run(*command: object, cwd: Path) -> None:
    done = subprocess.run(list(map(str, command)), cwd=cwd, capture_output=True, text=True, timeout=PATIENCE)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, as pip builds it."""
    folder = tmp_path_factory.mktemp("wheel")
    _run(sys.executable, "-m", "pip", "wheel", "--no-deps", "-q", "-w", folder, ROOT, cwd=folder)
    (built,) = folder.glob("*.whl")
    return built


def test_the_wheel_holds_all_it_needs_and_only_two_names(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    tops = {name.split("/")[0] for name in names if ".dist-info/" not in name}
    assert tops == {"domain", "webapp"}
    for folder, inside in (
        ("templates", "webapp/templates"),
        ("static", "webapp/static"),
        ("migrations", "webapp/migrations"),
        ("domain", "domain"),
        ("webapp", "webapp"),
    ):
        files = [
            file for file in (ROOT / folder).rglob("*") if file.is_file() and "__pycache__" not in file.parts
        ]
        assert files
        for file in files:
            assert f"{inside}/{file.relative_to(ROOT / folder).as_posix()}" in names


def test_an_installed_wheel_serves_the_demo(wheel: Path, tmp_path: Path) -> None:
    place, elsewhere = tmp_path / "installed", tmp_path / "elsewhere"
    elsewhere.mkdir()
    _run(sys.executable, "-m", "pip", "install", "--no-deps", "-q", "--target", place, wheel, cwd=elsewhere)
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    environment = kept | {
        "PYTHONPATH": str(place),
        "HOME": str(tmp_path),
        "XDG_DATA_HOME": str(tmp_path / "data"),
    }
    # The checkout may be installed too, for editing: the installed copy must be the one that runs.
    seen = subprocess.check_output(
        [sys.executable, "-c", "import webapp; print(webapp.__file__)"],
        cwd=elsewhere,
        env=environment,
        text=True,
    )
    assert seen.startswith(str(place))
    data = tmp_path / "demo.db"
    command = [sys.executable, "-m", "webapp", "--demo", "--port", "0", "--data", str(data)]
    process = subprocess.Popen(command, cwd=elsewhere, env=environment, stdout=subprocess.PIPE, text=True)
    watchdog = Timer(PATIENCE, process.kill)
    watchdog.start()
    try:
        assert process.stdout is not None
        found = re.match(r"Open (http://\S+)/", process.stdout.readline())
        assert found, "the installed program did not start"
        page = httpx.get(f"{found[1]}/", follow_redirects=True)
        assert page.status_code == 200
        addresses = set(re.findall(r'(?:src|href)="(/static/[^"]+)"', page.text))
        assert any("htmx.min.js" in address for address in addresses)
        for address in addresses:
            assert httpx.get(found[1] + address).status_code == 200
        assert data.stat().st_size > 4096
    finally:
        process.terminate()
        process.communicate(timeout=PATIENCE)
        watchdog.cancel()


def _readme_lines() -> list[str]:
    blocks = re.findall(r"^```\w*\n(.*?)^```", (ROOT / "README.md").read_text(), re.DOTALL | re.MULTILINE)
    return [line for block in blocks for line in block.splitlines()]


def test_the_readme_has_one_line_to_run_and_one_to_test() -> None:
    set_up = [line for line in _readme_lines() if "pip install" in line]
    assert set_up == [
        "python3 -m venv .venv && .venv/bin/pip install -e . && .venv/bin/spokeshed",
        "python3 -m venv .venv && .venv/bin/pip install -e '.[test]' && .venv/bin/python -m pytest -n auto --dist worksteal",
    ]


def test_ci_runs_the_readmes_own_test_line() -> None:
    script = ROOT / ".ci" / "run"
    assert os.access(script, os.X_OK)
    assert _readme_lines()[_readme_lines().index(script.read_text().splitlines()[-1])].endswith(
        "-m pytest -n auto --dist worksteal"
    )

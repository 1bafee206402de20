"""Both invented builds in a data file, made once and copied."""

import shutil
from pathlib import Path

import pytest

from webapp.db import Db
from webapp.demo.builds import make_demo


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory: pytest.TempPathFactory, empty_file: Path) -> Path:
    """A data file with both invented builds; copied, never opened."""
    path = tmp_path_factory.mktemp("demo") / "demo.db"
    shutil.copy(empty_file, path)
    db = Db(path)
    make_demo(db)
    db.close()
    return path

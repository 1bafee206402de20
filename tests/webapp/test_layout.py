"""Templates are laid out so that a person can read them."""

from pathlib import Path

ROOT = Path(__file__).parents[2]
MOST = 140


def test_no_line_of_a_template_is_too_long() -> None:
    found = sorted((ROOT / "templates").rglob("*.html"))
    assert found
    long = {
        f"{file.relative_to(ROOT)}:{number}"
        for file in found
        for number, line in enumerate(file.read_text().splitlines(), start=1)
        if len(line) > MOST
    }
    assert long == set()

import pytest

from domain.joints.materials import MILD_STEEL, iron, irons, steel


@pytest.mark.parametrize(
    ("key", "low", "high"),
    [
        # EN 1561: tensile strength ranges of separately cast samples, MPa.
        ("en-gjl-150", 150, 250),
        ("en-gjl-200", 200, 300),
        ("en-gjl-250", 250, 350),
    ],
)
def test_european_irons_have_the_strength_their_number_promises(key: str, low: float, high: float) -> None:
    assert (iron(key).tensile_low_mpa, iron(key).tensile_high_mpa) == (low, high)


@pytest.mark.parametrize(("key", "ksi"), [("a48-20", 20), ("a48-30", 30)])
def test_american_classes_start_at_their_least_ksi(key: str, ksi: int) -> None:
    # ASTM A48: the class number is the least tensile strength, ksi; 1 ksi is 6.894757 MPa.
    assert iron(key).tensile_low_mpa == pytest.approx(ksi * 6.894757, abs=0.5)


@pytest.mark.parametrize("one", irons(), ids=lambda one: one.key)
def test_every_iron_is_a_sensible_grey_iron_and_names_its_source(one: object) -> None:
    found = iron(one.key)  # type: ignore[attr-defined]
    assert found == one
    assert 0 < found.young_low_gpa < found.young_high_gpa < MILD_STEEL.young_gpa
    assert 0 < found.tensile_low_mpa < found.tensile_high_mpa
    assert 0.2 <= found.poisson <= 0.3
    assert "memory, verify" in found.source


def test_mild_steel_expands_as_in_the_uncertainty_guide() -> None:
    # JCGM 100 (GUM) H.1: steel gauge blocks, 11.5e-6 per degree.
    assert MILD_STEEL.alpha_per_k == 11.5e-6
    assert steel("mild") == MILD_STEEL


@pytest.mark.parametrize("ask", [iron, steel])
def test_an_unknown_key_is_refused_with_the_known_ones(ask: object) -> None:
    with pytest.raises(ValueError, match=r"'cheese'.*the table has"):
        ask("cheese")  # type: ignore[operator]

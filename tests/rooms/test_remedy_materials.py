"""The materials as their files tell them, and what a file may not say."""

from pathlib import Path

import pytest

from abaxial.errors import ParameterError
from abaxial.remedy import material

OURS = Path(material.__file__).parent / "materials"
KEYS = material.material_keys()


def written(folder: Path, old: str, new: str, key: str = "azoxystrobin") -> Path:
    """A garden folder with a material file of its own, one piece changed."""
    text = (OURS / f"{key}.toml").read_text(encoding="utf-8")
    assert old in text
    (folder / "materials").mkdir()
    (folder / "materials" / f"{key}.toml").write_text(text.replace(old, new, 1), encoding="utf-8")
    return folder


def test_twenty_five_materials_are_known():
    assert len(KEYS) == 25


@pytest.mark.parametrize("key", KEYS)
def test_every_material_can_be_read_and_says_how_it_is_known(key):
    read = material.read_material(key)

    assert read.key == key
    assert all(each.where and each.how for each in read.numbers.values())


@pytest.mark.parametrize("key", KEYS)
def test_only_what_moves_in_the_leaf_cures(key):
    read = material.read_material(key)

    assert not read.curative or read.mobility in ("translaminar", "acropetal")


@pytest.mark.parametrize("key", [key for key in KEYS if material.read_material(key).kind == "oil"])
def test_an_oil_keeps_away_from_sulfur_heat_and_heavy_attack(key):
    oil = material.read_material(key)

    assert oil.apart["sulfur"] == 14
    assert oil.better_apart["sulfur"] == 30
    assert oil["heat_warn_c"] < oil["heat_stop_c"] == 30.0
    assert oil["most_rusted_frac"] <= 0.05
    assert "sulfur" in oil.never_mixed_with
    assert not oil.curative


def test_what_must_lie_apart_lies_apart_from_both_sides():
    by_key = {key: material.read_material(key) for key in KEYS}
    pairs = {(one.kind, other): days for one in by_key.values() for other, days in one.apart.items()}

    assert pairs["oil", "sulfur"] == pairs["sulfur", "oil"]


def test_groups_have_the_risk_their_code_is_known_for():
    by_key = {key: material.read_material(key) for key in KEYS}

    assert {each.risk for each in by_key.values() if "11" in each.codes} == {"high"}
    assert {each.risk for each in by_key.values() if "3" in each.codes} == {"medium"}
    assert {each.risk for each in by_key.values() if any(code.startswith("M") for code in each.codes)} == {"low"}


def test_what_kills_fish_says_so():
    fish = {key for key in KEYS if "fish" in material.read_material(key).cautions}

    assert {"fixed_copper", "chlorothalonil", "azoxystrobin", "fatty_acid_soap", "azadirachtin"} <= fish


def test_a_gardeners_own_file_is_read_before_ours(tmp_path):
    folder = written(tmp_path, 'name = "azoxystrobin"', 'name = "mine"')

    assert material.read_material("azoxystrobin", folder).name == "mine"
    assert material.read_material("sulfur", folder).name == "sulfur"
    assert material.read_material("azoxystrobin", folder).digest != material.read_material("azoxystrobin").digest


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('risk = "high"', 'risk = "huge"', "risk holds 'huge'"),
        ('cautions = ["fish"', 'cautions = ["dragons"', "cautions holds 'dragons'"),
        ('mobility = "acropetal"', 'mobility = "contact"', "mobility is 'contact'"),
        ("protectant = true", 'protectant = "yes"', "protectant is 'yes'"),
        ('codes = ["11"]', "codes = [11]", "not a list of texts"),
        ('kind = "fungicide"', 'kind = "not_a_fungicide"', "is not a fungicide"),
        ("value = 0.95, range = [0.8, 0.99]", "value = 1.5, range = [0.8, 1.6]", "only 0 to 0.999 is possible"),
        ("decay_per_d", "decay", "nobody here knows decay"),
        ("[numbers]", "[apart]\nsulfur = 1.5\n[numbers]", "must name whole days"),
        ("[numbers]", "[figures]", "nobody here knows figures"),
    ],
)
def test_a_file_that_breaks_a_rule_is_refused_with_the_reason(tmp_path, old, new, said):
    folder = written(tmp_path, old, new)

    with pytest.raises(ParameterError, match=r"azoxystrobin\.toml") as caught:
        material.read_material("azoxystrobin", folder)

    assert said in caught.value.message
    assert caught.value.remedy


def test_a_protectant_without_its_wash_off_is_refused(tmp_path):
    text = (OURS / "sulfur.toml").read_text(encoding="utf-8")
    (tmp_path / "materials").mkdir()
    lines = [line for line in text.splitlines() if not line.startswith("half_wash_mm")]
    (tmp_path / "materials" / "sulfur.toml").write_text("\n".join(lines), encoding="utf-8")

    with pytest.raises(ParameterError, match="half_wash_mm is missing"):
        material.read_material("sulfur", tmp_path)


def test_a_material_nobody_knows_is_refused_with_those_that_are_known():
    with pytest.raises(ParameterError, match="moonshine") as caught:
        material.read_material("moonshine")

    assert "azoxystrobin" in caught.value.remedy

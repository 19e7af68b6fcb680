"""The hosts as their files tell them, and what a file may not say."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from abaxial.errors import ParameterError
from abaxial.garden.parts import Planting
from abaxial.host import growth, species

OURS = Path(species.__file__).parent / "species"


def written(folder: Path, old: str, new: str) -> Path:
    """A garden folder with a canna file of its own, one line changed."""
    text = (OURS / "canna.toml").read_text(encoding="utf-8")
    assert old in text
    (folder / "hosts").mkdir()
    (folder / "hosts" / "canna.toml").write_text(text.replace(old, new), encoding="utf-8")
    return folder


KNOWN = (
    "bean", "canna", "chrysanthemum", "daylily", "hollyhock", "maranta", "mint", "pelargonium", "rose", "snapdragon",
)  # fmt: skip


def test_ten_hosts_are_known():
    assert species.species_keys() == KNOWN


def test_every_host_can_be_read_and_names_its_rust():
    read = {key: species.read_species(key).rust for key in species.species_keys()}

    assert read["maranta"] == read["canna"] == "canna_rust"
    assert len(set(read.values())) == 9


def test_what_people_eat_counts_as_eaten_until_its_gardener_says_otherwise():
    here = Planting("Here", "Quay", "mint", 3, 0.3, date(2026, 3, 1))
    mint, canna = (species.read_species(host) for host in ("mint", "canna"))

    assert [species.is_eaten(here, kind) for kind in (mint, canna)] == [True, False]
    assert [species.is_eaten(replace(here, eaten=said), mint) for said in (True, False)] == [True, False]
    assert species.is_eaten(replace(here, eaten=True), canna)
    assert {key for key in KNOWN if species.read_species(key).eaten} == {"bean", "mint"}


def test_a_host_file_says_true_or_false_of_being_eaten(tmp_path):
    folder = written(tmp_path, 'rust = "canna_rust"', 'rust = "canna_rust"\neaten = "roots"')

    with pytest.raises(ParameterError, match="eaten is 'roots'"):
        species.read_species("canna", folder)


@pytest.mark.parametrize("host", KNOWN)
def test_every_host_opens_leaves_in_a_mild_month_and_fewer_in_a_cool_one(host):
    plant = species.read_species(host)
    mild, cool = (
        growth.grow(plant, np.full(30, warmth_c), since_day=0, clumps=4, spacing_m=0.5).emerged_leaves[-1]
        for warmth_c in (21.0, 8.0)
    )

    assert 1.5 < mild < 25.0  # a leaf in nearly three weeks for a maranta, one a day and a half for a snapdragon
    assert cool < 0.4 * mild


@pytest.mark.parametrize("host", KNOWN)
def test_every_host_grows_up_to_the_foliage_and_height_its_file_gives_and_not_beyond(host):
    plant = species.read_species(host)
    grown = growth.grow(plant, np.full(250, 21.0), since_day=0, clumps=4, spacing_m=0.4)
    foliage = grown.leaf_area_index_lower + grown.leaf_area_index_upper

    assert 0.6 < foliage.max() <= plant["largest_leaf_area_index"] + 1e-9
    assert grown.height_m.max() == pytest.approx(plant["plant_height_m"])


def test_a_file_beside_the_garden_goes_before_ours(tmp_path):
    folder = written(tmp_path, "leaf_width_m = { value = 0.2", "leaf_width_m = { value = 0.25")

    assert species.read_species("canna", folder)["leaf_width_m"] == 0.25


def test_a_new_host_beside_the_garden_is_listed(tmp_path):
    folder = written(tmp_path, 'name = "canna"', 'name = "tall canna"')
    (folder / "hosts" / "canna.toml").rename(folder / "hosts" / "tall_canna.toml")

    assert "tall_canna" in species.species_keys(folder)
    assert species.read_species("tall_canna", folder).name == "tall canna"


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("leaf_width_m = { value = 0.2", "leaf_width_m = { value = 20.0", "leaf_width_m is 20"),
        ("range = [0.12, 0.3]", "range = [0.12, 30.0]", "leaf_width_m ranges over 0.12 to 30"),
        ("leaf_width_m =", "leaf_breadth_m =", "leaf_breadth_m"),
        ("value = 28.0, range = [25.0, 32.0]", "value = 9.0, range = [8.0, 32.0]", "growth_optimum_c is 9"),
        ("[parameters]", "[numbers]", "no [parameters] table"),
        ("name = ", "nam = ", "nam"),
        ('rust = "canna_rust"', "rust = 3", "rust is 3"),
        ("value = 112.0", 'value = "many"', "'many'"),
    ],
)
def test_a_broken_file_is_refused_with_file_name_and_value(tmp_path, old, new, says):
    folder = written(tmp_path, old, new)

    with pytest.raises(ParameterError) as refused:
        species.read_species("canna", folder)

    assert "canna.toml" in refused.value.message
    assert says in refused.value.message
    assert refused.value.remedy


def test_an_unknown_host_is_answered_with_the_known_ones():
    with pytest.raises(ParameterError) as refused:
        species.read_species("fern")

    assert "pelargonium" in refused.value.remedy

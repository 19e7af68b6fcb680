"""The rusts as their files tell them, and what a file may not say."""

from pathlib import Path

import pytest

from abaxial.errors import ParameterError
from abaxial.host import species
from abaxial.infection import pathogen
from abaxial.infection.checks import profiles

OURS = Path(pathogen.__file__).parent / "pathogens"


def written(folder: Path, old: str, new: str, rust: str = "canna_rust") -> Path:
    """A garden folder with a rust file of its own, one line changed."""
    text = (OURS / f"{rust}.toml").read_text(encoding="utf-8")
    assert old in text
    (folder / "rusts").mkdir()
    (folder / "rusts" / f"{rust}.toml").write_text(text.replace(old, new), encoding="utf-8")
    return folder


def test_cannas_and_their_relatives_share_a_rust():
    assert pathogen.pathogen_for("canna") == pathogen.pathogen_for("maranta")


def test_canna_rust_says_that_everything_is_borrowed_and_from_whom():
    rust = pathogen.read_pathogen("canna_rust")

    assert rust.borrowed
    assert sum(each.weight_frac for each in rust.analogues) == pytest.approx(1.0)
    assert {each.how for each in rust.parameters.values()} <= {"analogue", "assumed", "fitted"}


def test_a_plant_nobody_knows_a_rust_for_has_none():
    assert pathogen.pathogen_for("fern") is None


def test_a_file_beside_the_garden_goes_before_ours(tmp_path):
    folder = written(tmp_path, "first_wet_h = { value = 6.0", "first_wet_h = { value = 7.5")

    assert pathogen.read_pathogen("canna_rust", folder)["first_wet_h"] == 7.5
    assert pathogen.read_pathogen("canna_rust")["first_wet_h"] == 6.0


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("first_wet_h = { value = 6.0", "first_wet_h = { value = 60.0", "first_wet_h is 60"),
        ("range = [0.5, 1.0]", "range = [0.5, 75.0]", "break_kill_frac ranges over 0.5 to 75"),
        ("weight_frac = 0.15", "weight_frac = 0.25", "add up to 1.3"),
        (
            "infection_minimum_c = 12.0, infection_optimum_c = 26.0",
            "infection_minimum_c = 2.0",
            "infection_minimum_c = 2.0",
        ),
        ("germination_h = { value = 3.0", "germinating_h = { value = 3.0", "germinating_h"),
        ('face = "lower"', 'face = "under"', "'under'"),
        ('hosts = ["canna", "maranta"]', 'hosts = "canna"', "hosts is 'canna'"),
        ("value = 23.0, range = [20.5, 26.0]", "value = 9.0, range = [8.0, 26.0]", "infection_optimum_c is 9"),
        ('how = "assumed"', 'how = "guessed"', "'guessed'"),
        ('name = "canna rust"', "name = 7", "name is 7"),
    ],
)
def test_a_broken_file_is_refused_with_file_name_and_value(tmp_path, old, new, says):
    folder = written(tmp_path, old, new)

    with pytest.raises(ParameterError) as refused:
        pathogen.read_pathogen("canna_rust", folder)

    assert "canna_rust.toml" in refused.value.message
    assert says in refused.value.message
    assert refused.value.remedy


def test_an_unknown_rust_is_answered_with_the_known_ones():
    with pytest.raises(ParameterError) as refused:
        pathogen.read_pathogen("fern_rust")

    assert "daylily_rust" in refused.value.remedy


def test_every_profile_enters_best_at_its_optimum_and_ripens_within_three_weeks_in_mild_weather():
    for rust in pathogen.pathogen_keys():
        assert profiles.infected_after_frac(rust, 24.0, pathogen.read_pathogen(rust)["infection_optimum_c"]) > 0.9
        assert 5.0 < profiles.latent_period_of_d(rust, 21.0) < 21.0


def test_daylily_rust_enters_badly_where_it_ripens_well():
    entered = profiles.infected_after_frac("daylily_rust", 10.0, [22.0, 30.0])
    ripening_d = profiles.latent_period_of_d("daylily_rust", [22.0, 30.0])

    assert entered[1] < 0.115 * entered[0]
    assert ripening_d[1] < 1.3 * ripening_d[0]


def test_bean_rust_ripens_a_day_later_between_14_and_24_than_in_warmer_swings():
    cool, mild, warm = (
        profiles.swinging_latent_period_d("bean_rust", *swing) for swing in ((14.0, 24.0), (20.0, 26.0), (24.0, 32.0))
    )

    assert cool - mild == pytest.approx(1.0, abs=0.5)
    assert cool - warm == pytest.approx(1.0, abs=0.5)


def test_every_host_has_one_rust_and_it_is_the_one_its_file_names():
    named = {key: species.read_species(key).rust for key in species.species_keys()}

    assert {host: pathogen.pathogen_for(host).key for host in named} == named
    assert set(named.values()) == set(pathogen.pathogen_keys())


def test_hollyhock_rust_borrows_from_rusts_with_the_same_kind_of_spore():
    rust = pathogen.read_pathogen("hollyhock_rust")

    assert rust.borrowed
    assert sum(each.weight_frac for each in rust.analogues) == pytest.approx(1.0)


def test_white_rust_waits_in_heat_and_mint_rust_in_cold():
    white = profiles.latent_period_of_d("chrysanthemum_white_rust", [18.0, 28.0, 31.0])
    mint = profiles.latent_period_of_d("mint_rust", [18.0, 5.0, -5.0])

    assert white[1] > 2.0 * white[0]
    assert mint[1] > 3.0 * mint[0]
    assert white[2] == mint[2] == float("inf")


@pytest.mark.parametrize("rust", ["chrysanthemum_white_rust", "hollyhock_rust"])
def test_a_rust_without_summer_spores_waits_out_a_sunny_week_but_not_a_dry_break_in_the_night(rust):
    read = pathogen.read_pathogen(rust)

    assert profiles.alive_after_frac(rust, 7 * 20.0, 7.0) > 10.0 * profiles.alive_after_frac("mint_rust", 7 * 20.0, 7.0)
    assert read["break_kill_frac"] > pathogen.read_pathogen("mint_rust")["break_kill_frac"]


def test_every_rust_says_how_it_spreads_within_what_is_possible():
    for key in pathogen.pathogen_keys():
        spread = pathogen.read_pathogen(key).epidemic

        assert list(spread) == list(pathogen.EPIDEMIC_LIMITS)
        for name, (least, most) in pathogen.EPIDEMIC_LIMITS.items():
            assert least <= spread[name].low <= spread[name].value <= spread[name].high <= most


def without_spread(folder: Path) -> Path:
    """A garden folder with a mint rust written before a file could say how its rust spreads."""
    text = (OURS / "mint_rust.toml").read_text(encoding="utf-8")
    (folder / "rusts").mkdir()
    (folder / "rusts" / "mint_rust.toml").write_text(text[: text.index("[epidemic]")], encoding="utf-8")
    return folder


def test_an_old_rust_file_spreads_as_rusts_do_that_nobody_has_measured(tmp_path):
    old, ours = (pathogen.read_pathogen("mint_rust", folder) for folder in (without_spread(tmp_path), None))

    assert old.parameters == ours.parameters
    assert old.epidemic["clumping"].how == "assumed"
    assert ours.epidemic["clumping"].source == "edwards2000"
    assert old.epidemic["infectious_period_d"] == ours.epidemic["infectious_period_d"]


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("clumping = {", "clumpiness = {", "clumpiness"),
        (
            "infectious_period_d = { value = 20.0, range = [12.0, 35.0]",
            "infectious_period_d = { value = 0.5",
            "no range",
        ),
        ("range = [12.0, 35.0]", "range = [12.0, 350.0]", "infectious_period_d ranges over 12 to 350"),
        ("[epidemic]", "[[epidemic]]", "epidemic is not a table"),
    ],
)
def test_a_file_that_says_wrongly_how_a_rust_spreads_is_refused_by_name(tmp_path, old, new, says):
    folder = written(tmp_path, old, new)

    with pytest.raises(ParameterError) as refused:
        pathogen.read_pathogen("canna_rust", folder)

    assert "canna_rust.toml" in refused.value.message
    assert says in refused.value.message
    assert refused.value.remedy

"""Speed of the choice that must not be lost. benchmarks/choose.py measures the figures themselves."""

import pytest
from benchmarks import choose as gardens

from abaxial.plan.choose.solve import Effort, choose


@pytest.mark.alone
@pytest.mark.parametrize("seed", [0, 1])
def test_thirty_plantings_have_a_plan_in_a_second_and_a_good_one_in_ten(seed):
    heard = []

    chosen = choose(gardens.scarce(gardens.invented(30, seed)), Effort(0.05, 10.0), tell=heard.append)

    assert heard[0].seconds < 1.0
    assert chosen.gap_frac <= 0.05


@pytest.mark.alone
def test_three_hundred_plantings_have_a_plan_in_a_second_and_a_fair_one_in_a_minute():
    heard = []

    chosen = choose(gardens.invented(300, 0), Effort(0.10, 60.0), tell=heard.append)

    assert heard[0].seconds < 1.5
    assert chosen.gap_frac <= 0.10


def test_the_choice_is_the_best_of_all_choices_of_a_garden_with_schedules_and_a_tank():
    garden = gardens.scarce(gardens.invented(3, 2, weeks=4, every=6))

    assert choose(garden, Effort(0.0, 20.0)).objective == pytest.approx(gardens.every_choice(garden), abs=1e-5)

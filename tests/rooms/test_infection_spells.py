"""Wet spells counted by hand."""

import numpy as np

from abaxial.infection import spells

WET = np.array([0, 1, 1, 1, 0, 1, 1, 0, 0, 0, 1], bool)
TEMPERATURE_C = np.arange(11.0)


def test_every_run_of_wet_hours_is_a_spell():
    found = spells.wet_spells(WET, TEMPERATURE_C)

    assert [(each.start, each.end, each.wet_h) for each in found] == [(1, 4, 3), (5, 7, 2), (10, 11, 1)]


def test_a_break_shorter_than_allowed_joins_two_spells_into_one():
    first, second = spells.wet_spells(WET, TEMPERATURE_C, longest_break_h=2)

    assert (first.start, first.end, first.wet_h, first.breaks_h) == (1, 7, 5, (1,))
    assert second.breaks_h == ()


def test_the_temperature_of_a_spell_is_that_of_its_wet_hours():
    first, _ = spells.wet_spells(WET, TEMPERATURE_C, longest_break_h=2)

    assert first.mean_temperature_c == np.mean([1, 2, 3, 5, 6])


def test_a_dry_series_has_no_spell():
    assert spells.wet_spells(np.zeros(5, bool), np.zeros(5)) == ()

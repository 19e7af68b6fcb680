"""What was noticed of wet leaves weighs the members that agree."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from abaxial.microclimate import noticed
from abaxial.microclimate.wetness import Wetness
from abaxial.weather.observations import WetnessObservation

FIRST_HOUR = 1000
ROWS = {"": [0, 1, 2, 3], "Quay": [0, 1], "Pier": [2, 3]}


def leaves(wet: list[list[float]]) -> Wetness:
    """Four leaves (Quay lower, upper; Pier lower, upper) by member, for three hours alike."""
    share = np.repeat(np.array(wet, np.float32)[:, None, :], 3, axis=1)
    return Wetness(share, share, share * 0.0, share * 0.0)


HALF_WET = leaves([[0.0, 1.0], [0.0, 1.0], [1.0, 0.0], [1.0, 0.0]])


def weights(state: str, hour: int = FIRST_HOUR + 1, bed: str = "", level: str = "", of: Wetness = HALF_WET):
    return noticed.member_weights([WetnessObservation(hour, state, bed, level)], of, ROWS, FIRST_HOUR)


def test_the_member_whose_leaves_are_wet_agrees_with_dripping_leaves():
    assert weights("dripping", bed="Quay")[1] > 0.9
    assert weights("dripping", bed="Pier")[0] > 0.9


def test_the_member_whose_leaves_are_dry_agrees_with_dry_leaves():
    assert weights("dry", bed="Quay")[0] > 0.9


def test_one_level_can_be_looked_at_alone():
    mixed = leaves([[0.0, 1.0], [1.0, 0.0], [0.0, 0.0], [0.0, 0.0]])

    assert weights("dripping", bed="Quay", level="lower", of=mixed)[1] > 0.9
    assert weights("dripping", bed="Quay", level="upper", of=mixed)[0] > 0.9


@pytest.mark.parametrize("note", [{"hour": FIRST_HOUR - 1}, {"hour": FIRST_HOUR + 3}, {"bed": "Elsewhere"}])
def test_a_note_of_other_hours_or_beds_says_nothing(note: dict):
    assert np.allclose(weights("dry", **note), 0.5)


def test_no_member_is_ever_ruled_out_by_one_look():
    assert weights("dry", bed="Quay").min() > 0.01


def test_a_note_that_every_member_contradicts_is_told():
    dry_note, dripping_note = (WetnessObservation(FIRST_HOUR, state, "Quay") for state in ("dry", "dripping"))
    soaked = leaves([[1.0, 1.0]] * 4)

    assert noticed.contradicted([dry_note, dripping_note], soaked, ROWS, FIRST_HOUR) == (dry_note,)


def test_members_that_agree_alike_all_stay_in_their_places():
    assert noticed.kept_members(np.full(16, 1 / 16), 1).tolist() == list(range(16))


@given(st.lists(st.floats(0.001, 1.0), min_size=16, max_size=16), st.integers(0, 50))
def test_a_member_is_kept_about_as_often_as_it_deserves(raw: list[float], seed: int):
    share = np.array(raw) / sum(raw)
    kept = noticed.kept_members(share, seed)

    if np.allclose(share, 1 / 16):
        return
    often = np.bincount(kept, minlength=16)
    assert often.sum() == 16
    assert (np.abs(often - 16 * share) < 1.0 + 1e-9).all()

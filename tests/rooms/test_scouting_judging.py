"""Severity: scales, agreement of people, and what incidence says of it."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from abaxial.errors import ParameterError, ScoutingError
from abaxial.scouting import agreement, scales, severity

ACTUAL = np.array([0.5, 1.0, 2.0, 5.0, 9.0, 20.0])


@pytest.mark.parametrize("key", scales.scale_keys())
def test_every_score_of_our_scales_comes_back_from_its_limits(key):
    scale = scales.read_scale(key)
    scores = [each.score for each in scale.classes] + ([] if scale.highest_score is None else ["0", "12.5", "100"])

    assert [scales.score_of(scale, *scales.limits_frac(scale, score)) for score in scores] == scores


@pytest.mark.parametrize("key", ["horsfall_barratt", "five_words"])
def test_classes_leave_no_gap_between_clean_and_covered(key):
    classes = scales.read_scale(key).classes

    assert [after.low_frac for after in classes[1:]] == [before.high_frac for before in classes[:-1]]
    assert (classes[0].low_frac, classes[-1].high_frac) == (0.0, 1.0)


def test_the_mean_of_scores_is_not_the_mean_severity():
    right = scales.mean_of_midpoints_frac("horsfall_barratt", [1, 2, 2, 3, 5])

    assert right > scales.midpoint_frac("horsfall_barratt", 3)


def test_limits_of_no_class_have_no_score():
    assert scales.score_of(scales.read_scale("five_words"), 0.1, 0.2) == ""
    assert scales.score_of(scales.read_scale("modified_cobb"), 0.9, 0.9) == ""


@pytest.mark.parametrize("score", [-1, 12, 2.5, "x", "", "nan", "inf", None, True])
def test_a_score_outside_the_scale_is_refused(score):
    with pytest.raises(ScoutingError) as caught:
        scales.limits_frac(scales.read_scale("horsfall_barratt"), score)

    assert "0, 1, 2" in caught.value.remedy


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('name = "x"\nhow = "practice"\nsource = "practice"', "has no scores"),
        ('name = "x"\nhow = "practice"\nsource = "nobody"\nhighest_score = 10', "source = 'nobody'"),
        ('name = "x"\nhow = "felt"\nsource = "practice"\nhighest_score = 10', "how = 'felt'"),
        ('name = "x"\nhow = "practice"\nsource = "practice"\nhighest_score = -1', "highest_score"),
        ('how = "practice"\nsource = "practice"\nhighest_score = 10', "name"),
        (
            'name = "x"\nhow = "practice"\nsource = "practice"\nclass = [{ score = 1, low_frac = 0.5, high_frac = 0.1 }]',
            "rise",
        ),
        ('name = "x"\nhow = "practice"\nsource = "practice"\nclass = [{ score = 1, low_frac = 0.5 }]', "lacks"),
        (
            'name = "x"\nhow = "practice"\nsource = "practice"\nclass = [{ score = 1, low_frac = 0.5, high_frac = 0.6 }, '
            "{ score = 2, low_frac = 0.1, high_frac = 0.2 }]",
            "do not rise",
        ),
        ('name = "x"\nhow = "practice"\nsource = "practice"\nhighest_score = 10\nfoo = 1', "foo"),
    ],
)
def test_a_scale_file_that_breaks_a_rule_is_refused(tmp_path, text, said):
    (tmp_path / "scales").mkdir()
    (tmp_path / "scales" / "mine.toml").write_text(text, encoding="utf-8")

    with pytest.raises(ParameterError, match=said):
        scales.read_scale("mine", tmp_path)


def test_an_index_of_scores_outside_the_scale_is_refused():
    with pytest.raises(ScoutingError):
        scales.severity_index_frac([1, 7], highest_score=6)
    with pytest.raises(ScoutingError):
        scales.mean_of_midpoints_frac("percent", [])
    with pytest.raises(ScoutingError):
        scales.infection_coefficient_frac("modified_cobb", 60, response="Q")


def test_whoever_says_the_double_is_exact_but_not_true():
    result = agreement.agreement(ACTUAL, 2 * ACTUAL)

    assert result.correlation == pytest.approx(1.0)
    assert result.concordance < 0.9
    assert agreement.bias_factor(ACTUAL, 2 * ACTUAL) == pytest.approx(2.0)
    assert agreement.scatter_log_sd(ACTUAL, 2 * ACTUAL) == pytest.approx(0.0, abs=1e-12)


@given(st.lists(st.floats(0, 100), min_size=6, max_size=6).filter(lambda each: np.std(each) > 1e-3))
def test_concordance_is_correlation_times_accuracy_and_never_above_it(estimated):
    result = agreement.agreement(ACTUAL, estimated)

    assert result.concordance == pytest.approx(result.correlation * result.accuracy, abs=1e-9)
    assert abs(result.concordance) <= abs(result.correlation) + 1e-9
    assert 0.0 < result.accuracy <= 1.0 + 1e-12


def test_the_truth_agrees_with_itself():
    assert agreement.agreement(ACTUAL, ACTUAL) == agreement.Agreement(
        *(pytest.approx(each) for each in (1.0, 1.0, 1.0, 1.0, 0.0))
    )


def test_estimates_that_are_too_low_have_a_location_shift_above_nought():
    assert agreement.agreement(ACTUAL, 0.5 * ACTUAL).location_shift > 0.0


@pytest.mark.parametrize(
    ("actual", "estimated"), [([1], [1]), ([1, 2], [1]), ([1, 2], [1, math.nan]), ([1, 2], [3, 3]), ([2, 2], [1, 3])]
)
def test_what_says_nothing_of_agreement_is_refused(actual, estimated):
    with pytest.raises(ScoutingError):
        agreement.agreement(actual, estimated)


def test_a_bias_needs_rust():
    with pytest.raises(ScoutingError):
        agreement.bias_factor([0, 0], [1, 2])


@given(lesions=st.floats(0, 20), clumping=st.floats(0.05, 50) | st.just(math.inf))
def test_lesions_become_incidence_and_lesions_again(lesions, clumping):
    incidence = severity.incidence_frac(lesions, clumping=clumping)

    assert 0.0 <= incidence <= 1.0
    assert incidence > 1 - 1e-6 or severity.lesions_per_leaf(incidence, clumping=clumping) == pytest.approx(
        lesions, rel=1e-6, abs=1e-9
    )


def test_the_more_lesions_clump_the_fewer_leaves_bear_them():
    incidence = [float(severity.incidence_frac(1.0, clumping=k)) for k in (0.1, 1.0, 10.0, math.inf)]

    assert incidence == sorted(incidence)


def test_where_every_leaf_is_rusted_lesions_are_without_limit():
    assert np.isinf(severity.lesions_per_leaf([1.0], clumping=math.inf)).all()


def test_severity_of_rusted_leaves_is_nought_where_none_is():
    assert severity.rusted_severity_frac([0.0, 0.2], 0.01).tolist() == pytest.approx([0.0, 0.05])


def test_a_relation_nobody_published_is_refused():
    with pytest.raises(ScoutingError):
        severity.by_relation("canna", 10)
    with pytest.raises(ScoutingError):
        severity.incidence_frac(1.0, clumping=0.0)

"""The JSON envelope: one shape for answers and errors, missing is null, and the committed schema tells the truth."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from jsonschema import Draft202012Validator
from tests.rooms.invented_plan import planned_week
from tests.rooms.invented_walk import invented_walk
from tests.rooms.invented_week import invented_week

from abaxial.errors import GardenError
from abaxial.report import envelope, schema
from abaxial.report.answers.told import ANSWERS
from abaxial.report.answers.week import Band, Reason

WEEK = invented_week()
SCHEMAS = Path(schema.__file__).parent / "schemas"
COMMITTED = (SCHEMAS / "week.json").read_text(encoding="utf-8")
WALK = (SCHEMAS / "walk.json").read_text(encoding="utf-8")
VALIDATOR = Draft202012Validator(json.loads(COMMITTED))


def test_every_committed_schema_is_the_one_of_the_code() -> None:
    assert {each.stem for each in SCHEMAS.iterdir()} == set(ANSWERS)
    for command, answer in ANSWERS.items():
        committed = (SCHEMAS / f"{command}.json").read_text(encoding="utf-8")
        assert schema.schema_text(command, answer) == committed, "run scripts/schemas"


def test_a_walk_keeps_to_its_own_schema() -> None:
    told = json.loads(envelope.answer_json(invented_walk()))

    assert told["schema"] == "abaxial/walk/1"
    assert [error.message for error in Draft202012Validator(json.loads(WALK)).iter_errors(told)] == []
    assert not VALIDATOR.is_valid(told)


def test_an_answer_keeps_to_its_schema() -> None:
    told = json.loads(envelope.answer_json(WEEK))

    assert [error.message for error in VALIDATOR.iter_errors(told)] == []


def test_an_answer_with_a_plan_keeps_to_its_schema_and_asks_what_the_plan_asks() -> None:
    told = json.loads(envelope.answer_json(planned_week()))

    assert [error.message for error in VALIDATOR.iter_errors(told)] == []
    assert [each["kind"] for each in told["questions"]][-2:] == ["label_asked", "bed_asked"]
    assert told["answer"]["plan"]["tasks"][0]["key"] == "rusted-leaves-off-quay"
    assert told["answer"]["plantings"][0]["remedies"][1]["until"] == "2026-11-22"


def test_an_error_keeps_to_the_same_schema() -> None:
    error = GardenError("The bed is in two places.", remedy="Name one of them.", where="garden.toml, line 7")

    told = json.loads(envelope.error_json(error, "week", "2026-11-25T06:00:00+00:00"))
    assert [error.message for error in VALIDATOR.iter_errors(told)] == []
    assert told["error"] == {
        "kind": "GardenError",
        "message": "The bed is in two places.",
        "where": "garden.toml, line 7",
        "remedy": "Name one of them.",
    }


@pytest.mark.parametrize("wrong", [{"today": 5}, {"plantings": "none"}, {"headline": {"kind": "quiet"}}])
def test_the_schema_refuses_what_is_not_an_answer(wrong: dict[str, object]) -> None:
    told = json.loads(envelope.answer_json(WEEK))
    told["answer"] |= wrong

    assert not VALIDATOR.is_valid(told)


def test_the_envelope_has_its_seven_parts() -> None:
    told = json.loads(envelope.answer_json(WEEK))

    assert list(told) == ["schema", "ok", "at", "garden", "answer", "questions", "passport"]
    assert told["schema"] == "abaxial/week/1"
    assert told["answer"]["today"] == "2026-11-25"


def test_missing_is_null() -> None:
    first = replace(WEEK.plantings[0], latent_nights=Band(float("nan"), float("inf"), 1.0))

    told = json.loads(envelope.answer_json(replace(WEEK, plantings=(first,))))
    assert told["answer"]["plantings"][0]["latent_nights"] == {"low": None, "mid": None, "high": 1.0}


def test_numbers_from_arrays_are_plain_numbers() -> None:
    reason = Reason("rain", {"rain_mm": np.float64(3.5), "days": np.int64(2), "missing": np.float64("nan")})

    told = json.loads(envelope.answer_json(replace(WEEK, headline=reason)))
    assert told["answer"]["headline"]["details"] == {"rain_mm": 3.5, "days": 2, "missing": None}


def test_what_is_unknown_is_asked_with_its_sentence() -> None:
    questions = json.loads(envelope.answer_json(WEEK))["questions"]

    assert [each["kind"] for each in questions] == ["rain_unknown", "grid_weather"]
    assert questions[0]["says"].startswith("Nobody wrote down the rain since 23 November")

"""The JSON envelope: {schema, ok, at, garden, answer, questions, passport}, and errors in the same."""

import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from math import isfinite

from abaxial.errors import AbaxialError
from abaxial.report.answers.disposal import DisposalAnswer
from abaxial.report.answers.hours import HoursAnswer
from abaxial.report.answers.mix import MixAnswer
from abaxial.report.answers.shelf import ShelfAnswer
from abaxial.report.answers.stock import StockAnswer
from abaxial.report.answers.told import ANSWERS
from abaxial.report.answers.walk import WalkAnswer
from abaxial.report.answers.week import Reason, WeekAnswer
from abaxial.report.words.speech import say

Answer = WeekAnswer | WalkAnswer | ShelfAnswer | MixAnswer | HoursAnswer | DisposalAnswer | StockAnswer
#: the command of each answer that is a page
_COMMANDS = {answer: command for command, answer in ANSWERS.items() if isinstance(answer, type)}


def answer_json(answer: Answer) -> str:
    """An answer. Dates in ISO form, missing is null, what we do not know stands under questions."""
    told = {
        "schema": f"abaxial/{_COMMANDS[type(answer)]}/1",
        "ok": True,
        "at": answer.passport.made_at,
        "garden": answer.garden,
        "answer": plain(answer),
        "questions": [_question(each) for each in _asked(answer)],
        "passport": plain(answer.passport),
    }
    return _text(told)


def error_json(error: AbaxialError, command: str, at: str = "") -> str:
    """An error. command : the command that failed. at : UTC time in ISO 8601, or empty."""
    told = {
        "schema": f"abaxial/{command}/1",
        "ok": False,
        "at": at or None,
        "garden": None,
        "answer": None,
        "questions": [],
        "passport": None,
        "error": {
            "kind": type(error).__name__,
            "message": error.message,
            "where": error.where,
            "remedy": error.remedy,
        },
    }
    return _text(told)


def plain(value: object) -> object:
    """A value made of dicts, lists, text, numbers, true, false and null. A number that is not finite is null."""
    if is_dataclass(value) and not isinstance(value, type):
        return {each.name: plain(getattr(value, each.name)) for each in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [plain(each) for each in value]
    if isinstance(value, date | datetime):
        return value.isoformat()
    if value is None or isinstance(value, bool | int | str):
        return value
    return _number(value)


def _number(value: object) -> object:
    # numbers from arrays know how to become plain ones, and a whole one stays whole
    own = value.item() if hasattr(value, "item") else value
    if isinstance(own, float):
        return own if isfinite(own) else None
    return own if isinstance(own, bool | int) else str(own)


def _asked(answer: Answer) -> tuple[Reason, ...]:
    """What we do not know, and what the plan has to ask."""
    plan = answer.plan if isinstance(answer, WeekAnswer) else None
    return (*answer.unknown, *(plan.asks if plan else ()))


def _question(reason: Reason) -> dict[str, object]:
    return {"kind": reason.kind, "says": say(reason), "details": plain(reason.details)}


def _text(told: dict[str, object]) -> str:
    return json.dumps(told, indent=2, ensure_ascii=False, allow_nan=False) + "\n"

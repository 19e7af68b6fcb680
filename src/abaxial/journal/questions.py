"""What the journal cannot settle by itself, as kinds with names and numbers; `report` puts them into words."""

from collections.abc import Mapping
from dataclasses import dataclass

#: every kind of question, with the details it comes with
QUESTIONS: Mapping[str, tuple[str, ...]] = {
    # the entry itself
    "malformed": ("kind", "problems"),
    "unknown_kind": ("kind",),
    "newer_version": ("kind", "version"),
    "same_id_other_content": ("count",),
    "time_impossible": ("kind",),
    "time_backwards": ("kind", "begins", "ends"),
    # corrections and retractions
    "corrects_nothing": ("kind",),
    "corrects_unknown": ("kind", "target"),
    "corrects_in_a_circle": ("kind", "target"),
    "corrects_though_not_a_correction": ("kind", "target"),
    "correction_of_retraction": ("target",),
    "correction_does_not_fit": ("target", "problems"),
    # the ground
    "no_garden": (),
    "garden_described_twice": ("name",),
    "bed_laid_twice": ("bed",),
    "bed_unknown": ("kind", "bed"),
    "bed_not_yet_laid": ("kind", "bed", "on", "laid_on"),
    # the plantings
    "two_plantings_of_one_name": ("planting",),
    "planting_unknown": ("kind", "planting", "on"),
    "planting_not_yet_there": ("kind", "planting", "on", "begins_on"),
    "planting_gone": ("kind", "planting", "on", "ended_on"),
    "fewer_clumps_than_taken": ("kind", "planting", "clumps", "taken"),
    # the shelf
    "bottle_unreadable": ("bottle", "problems"),
    "two_labels_of_one_name": ("bottle",),
    "more_used_than_there_was": ("bottle", "used", "had", "measure"),
    # what was done about rust
    "bottle_unknown": ("bottle", "on"),
    "bottle_not_yet_bought": ("bottle", "on", "bought_on"),
    "home_brew_used": ("bottle", "on"),
    "sprayed_without_label": ("bottle", "on"),
    "product_in_another_measure": ("bottle", "on", "measure"),
    "rate_unreadable": ("bottle", "on", "rate", "problems"),
    "rate_does_not_fit": ("bottle", "on", "rate", "product", "expected", "measure"),
    "spray_record_incomplete": ("bottle", "on", "plantings", "missing"),
}


@dataclass(frozen=True)
class Question:
    """One thing to be asked. kind : one of QUESTIONS. entry_id : the entry that raises it, "" for the whole journal."""

    kind: str
    entry_id: str
    details: Mapping[str, object]


def ask(kind: str, entry_id: str, /, **details: object) -> Question:
    """A question with the details of its kind."""
    return Question(kind, entry_id, {name: details[name] for name in QUESTIONS[kind]})

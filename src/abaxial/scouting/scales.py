"""Severity scales: what share of the leaf each score stands for, kept as limits and never as scores."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

from abaxial.errors import ParameterError, ScoutingError
from abaxial.provenance import HOW, read_parameter, read_table, read_text, refuse_unknown, sources

_HERE = Path(__file__).with_name("scales")
_KEYS = ("name", "note", "source", "where", "how", "class", "highest_score", "parameters")


@dataclass(frozen=True)
class SeverityClass:
    """One class of a scale. score : as people write it. low_frac, high_frac : its limits, 0 to 1; equal for a point."""

    score: str
    low_frac: float
    high_frac: float


@dataclass(frozen=True)
class Scale:
    """A severity scale.

    classes : in rising order; they may be few or none. highest_score : of a scale of numbers, its top; None where only
    the classes count. cover_frac : share of the leaf that is covered at the top of a scale of numbers, 0 to 1.
    """

    key: str
    name: str
    classes: tuple[SeverityClass, ...]
    highest_score: float | None
    cover_frac: float


def scale_keys(folder: Path | None = None) -> tuple[str, ...]:
    """The keys of all scales that can be read: ours and those in `folder`/scales."""
    return tuple(sorted({path.stem for place in _places(folder) for path in place.glob("*.toml")}))


def read_scale(key: str, folder: Path | None = None) -> Scale:
    """The scale of that key, from `folder`/scales if it is there, else from ours.

    Raises ScoutingError if there is none, ParameterError where its file breaks a rule.
    """
    known = scale_keys(folder)
    for place in _places(folder):
        if key in known and (path := place / f"{key}.toml").is_file():
            return _read(path)
    raise ScoutingError(f"No severity scale is called {key!r}.", remedy=f"Known are {', '.join(known)}.")


def limits_frac(scale: Scale, score: object) -> tuple[float, float]:
    """Limits of the share of leaf area that a score stands for, 0 to 1; equal where the score is a number of its own.

    score : a class's score as text or number, or a number from 0 to the scale's highest.
    Raises ScoutingError where the scale has no such score.
    """
    text = _plain(score)
    for each in scale.classes:
        if each.score == text:
            return each.low_frac, each.high_frac
    number = _number(text)
    if scale.highest_score is not None and number is not None and 0.0 <= number <= scale.highest_score:
        share = number / scale.highest_score * scale.cover_frac
        return share, share
    scores = [each.score for each in scale.classes]
    if scale.highest_score is not None:
        scores.append(f"any number from 0 to {scale.highest_score:g}")
    raise ScoutingError(f"{scale.name} has no score {text!r}.", remedy=f"Its scores are {', '.join(scores)}.")


def score_of(scale: Scale, low_frac: float, high_frac: float) -> str:
    """The score whose limits these are, as text; "" where the scale has none."""
    for each in scale.classes:
        if abs(each.low_frac - low_frac) < 1e-9 and abs(each.high_frac - high_frac) < 1e-9:
            return each.score
    if scale.highest_score is None or low_frac != high_frac or low_frac > scale.cover_frac:
        return ""
    return f"{low_frac / scale.cover_frac * scale.highest_score:.12g}"


def midpoint_frac(scale: str, score: object) -> float:
    """Middle of the class of a score, as a share of leaf area [0 to 1]. scale : key of one of our scales."""
    return sum(limits_frac(read_scale(scale), score)) / 2.0


def mean_of_midpoints_frac(scale: str, scores: Sequence[object]) -> float:
    """Mean severity of leaves that were scored [0 to 1]: scores become midpoints first, because classes are not equal.

    scale : key of one of our scales. scores : one for each leaf, at least one.
    """
    if not len(scores):
        raise ScoutingError("There are no scores to take a mean of.", remedy="Give at least one.")
    return sum(midpoint_frac(scale, each) for each in scores) / len(scores)


def severity_index_frac(scores: Sequence[float], *, highest_score: float) -> float:
    """Disease severity index: the sum of scores over the largest that sum could be [0 to 1].

    scores : one for each plant, 0 to highest_score. It is no share of leaf area; see `mean_of_midpoints_frac`.
    Source: delponte2023.
    """
    if not len(scores) or not 0.0 <= min(scores) <= max(scores) <= highest_score:
        raise ScoutingError(
            f"The scores are {list(scores)}; there must be some, each between 0 and {highest_score:g}.",
            remedy="Correct the scores or the highest score.",
        )
    return float(sum(scores)) / (len(scores) * highest_score)


def infection_coefficient_frac(scale: str, score: object, *, response: str) -> float:
    """Severity weighted by how the plant answers it, from R (resistant) to S (susceptible) [0 to 1].

    scale : key of one of our scales with field responses; its printed percentage counts, not the area covered.
    response : such as "R", "MR", "MS" or "S". Source: cropontology.
    """
    weights = read_table(_HERE / "responses" / "field.toml")["weight"]
    if response not in weights:
        raise ScoutingError(f"There is no field response {response!r}.", remedy=f"Known are {', '.join(weights)}.")
    return midpoint_frac(scale, score) / read_scale(scale).cover_frac * float(weights[response])


def _places(folder: Path | None) -> tuple[Path, ...]:
    return (_HERE,) if folder is None else (folder / "scales", _HERE)


def _plain(score: object) -> str:
    """A score as it stands in a file: 3, 3.0 and " 3 " are all "3", and words are small."""
    text = str(score).strip().casefold()
    number = _number(text)
    return text if number is None else f"{number:.12g}"


def _number(text: str) -> float | None:
    try:
        number = float(text)
    except ValueError:
        return None
    return number if number == number and abs(number) != float("inf") else None


def _read(path: Path) -> Scale:
    table = read_table(path)
    refuse_unknown(table, _KEYS, path)
    how, source = str(table.get("how", "")), str(table.get("source", ""))
    if how not in HOW or (source != "practice" and source not in sources()):
        raise ParameterError(
            f"{path}: the scale has source = {source!r} and how = {how!r}.",
            remedy=f'Name a source in sources.toml or "practice", and one of {", ".join(HOW)}.',
        )
    classes = tuple(_class(each, path) for each in table.get("class", []))
    if any(
        after.low_frac < before.low_frac or after.high_frac < before.high_frac for before, after in pairwise(classes)
    ):
        raise ParameterError(f"{path}: the classes do not rise.", remedy="Put them in order of their limits.")
    highest = table.get("highest_score")
    if highest is not None and not (isinstance(highest, int | float) and highest > 0):
        raise ParameterError(f"{path}: highest_score is {highest!r}.", remedy="Write a number above 0.")
    if not classes and highest is None:
        raise ParameterError(f"{path}: the scale has no scores.", remedy="Write [[class]] tables or a highest_score.")
    return Scale(path.stem, read_text(table, "name", path), classes, highest, _cover_frac(table, path))


def _cover_frac(table: Mapping[str, Any], path: Path) -> float:
    parameters = table.get("parameters", {})
    refuse_unknown(parameters, ("cover_frac",), path)
    if not parameters:
        return 1.0
    return read_parameter("cover_frac", parameters["cover_frac"], limits=(0.0, 1.0), path=path).value


def _class(table: Mapping[str, Any], path: Path) -> SeverityClass:
    refuse_unknown(table, ("score", "low_frac", "high_frac", "plain"), path)
    low, high = table.get("low_frac"), table.get("high_frac")
    if "score" not in table or not isinstance(low, int | float) or not isinstance(high, int | float):
        raise ParameterError(f"{path}: a class lacks score, low_frac or high_frac.", remedy="Give all three.")
    if not 0.0 <= low <= high <= 1.0:
        raise ParameterError(
            f"{path}: class {table['score']} runs from {low} to {high}; it must rise within 0 to 1.",
            remedy="Correct its limits.",
        )
    return SeverityClass(_plain(table["score"]), float(low), float(high))

"""Mixes that are too small to measure, told once for each bottle."""

from collections.abc import Sequence

from abaxial.report.answers.reason import Reason


def one_for_each_bottle(reasons: Sequence[Reason]) -> list[Reason]:
    """Mixes of one bottle that are too small to measure, on several plantings, as one reason with the largest of them."""
    small: dict[object, list[Reason]] = {}
    for each in reasons:
        if each.kind == "too_small":
            small.setdefault(each.details.get("bottle"), []).append(each)
    others = [each for each in reasons if each.kind != "too_small"]
    return [*others, *(_largest(same) for same in small.values())]


def _largest(same: Sequence[Reason]) -> Reason:
    largest = max(same, key=lambda each: float(str(each.details.get("amount") or 0.0)))
    names = [each.details.get("planting") for each in same]
    plantings = tuple(dict.fromkeys(str(each) for each in names if each))
    return Reason("too_small", {**largest.details, "plantings": plantings})

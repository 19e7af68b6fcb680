"""From a label, its materials and what lies around to the limits that hold and to what hours care about."""

import math
from collections.abc import Iterable
from typing import NamedTuple

from abaxial.label.bottle import Label
from abaxial.label.window import site
from abaxial.label.window.closings import Use
from abaxial.label.window.limits import Limits, with_label
from abaxial.label.window.site import SiteFacts
from abaxial.remedy.material import Material


class Nature(NamedTuple):
    """What the materials of one mix are like. kinds : such as "oil". cautions : such as "fish", "bees". heat_stop_c : of the
    one that bears least, infinity where all bear any. rain_fast_h : of the one that needs most, None where nobody knows."""

    kinds: frozenset[str] = frozenset()
    cautions: frozenset[str] = frozenset()
    heat_stop_c: float = math.inf
    rain_fast_h: float | None = None


def nature_of(materials: Iterable[Material]) -> Nature:
    """What the materials of one mix are like together: the most delicate of them counts."""
    materials = tuple(materials)
    stops_c = [each["heat_stop_c"] for each in materials if "heat_stop_c" in each.numbers]
    dry_h = [each["rain_fast_h"] for each in materials if "rain_fast_h" in each.numbers]
    return Nature(
        kinds=frozenset(each.kind for each in materials),
        cautions=frozenset(caution for each in materials for caution in each.cautions),
        heat_stop_c=min(stops_c, default=math.inf),
        rain_fast_h=max(dry_h, default=None),
    )


def limits_for(labels: Iterable[Label], nature: Nature, limits: Limits) -> Limits:
    """Limits for one mix: ours, made stricter by every label; for rain the label, else the material, else ours."""
    labels = tuple(labels)
    otherwise_h = limits.rain_fast_h if nature.rain_fast_h is None else nature.rain_fast_h
    dry_h = [otherwise_h if each.rain_fast_h is None else each.rain_fast_h for each in labels]
    for each in labels:
        said = ("temperature_least_c", "temperature_most_c", "wind_most_m_s")
        limits = with_label(limits, {name: getattr(each, name) for name in said})
    return with_label(limits, {"rain_fast_h": max(dry_h, default=otherwise_h)})


def use_for(
    labels: Iterable[Label], nature: Nature, limits: Limits, *, facts: SiteFacts, flowers_open: bool | None
) -> Use:
    """What hours care about for one mix on one bed. flowers_open : in or under the bed, weeds counted; None where nobody
    knows. Raises RequestError while a question about the bed is open."""
    labels = tuple(labels)
    buffer_m = max((each.buffer_m for each in labels if each.buffer_m is not None), default=None)
    return Use(
        heat_stop_c=nature.heat_stop_c,
        oil="oil" in nature.kinds,
        spares_flowers="bees" in nature.cautions or any(each.spare_open_flowers for each in labels),
        flowers_open=flowers_open,
        bees_count=site.bees_count(facts, limits, flowers_open=flowers_open),
        closed_for_good=site.closed_for_good(facts, limits, buffer_m=buffer_m, harms=nature.cautions),
    )

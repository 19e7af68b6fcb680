"""What labels, law and the state of a planting leave open in the coming weeks, as the acts that programmes are made of."""

import math
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import NamedTuple

from abaxial.label import rules as label_rules
from abaxial.label.bottle import Bottle
from abaxial.label.contents import Contents, contents_of
from abaxial.label.done import Done, Site, alike, at, done_of
from abaxial.label.rotation import is_exempt
from abaxial.label.rules import Refusal, Rules
from abaxial.plan.programmes.permitted import Act, Permitted
from abaxial.plan.programmes.step import Programme, Step
from abaxial.remedy.material import Material

#: calendar date on which a step is done
On = Callable[[Step], date]
_WEEK_D = 7


#: planting by its place, step, and why not
Broken = tuple[int, Step, tuple[Refusal, ...]]


class Law(NamedTuple):
    """All that rules are asked with. bottles : on the shelf, the one to prefer first. history : of the whole garden.
    materials : by key, all that can be read."""

    bottles: Sequence[Bottle]
    history: Sequence[Done]
    rules: Rules
    materials: Mapping[str, Material]

    def contents(self, bottle: Bottle) -> Contents:
        """What is in a bottle."""
        return contents_of(bottle, self.materials)


class Standing(NamedTuple):
    """How a planting stands. sites : bottle to where it would be put and how much of it. light : whether an oil still makes
    sense. without : kinds of act that need no bottle and are possible, with their weeks."""

    sites: Mapping[str, Site]
    light: bool
    without: Mapping[str, tuple[int, ...]]


def permitted(standing: Standing, law: Law, on: On, weeks: int) -> tuple[Permitted, Mapping[str, tuple[Refusal, ...]]]:
    """What may be done with a planting, and for each bottle that may not be used in the coming week why not."""
    acts = [Act(kind, "", open_weeks, most=len(open_weeks)) for kind, open_weeks in standing.without.items()]
    acts = [
        each._replace(most=1) if each.kind not in ("look", "rusted_leaves_off") else each for each in acts if each.weeks
    ]
    refused: dict[str, tuple[Refusal, ...]] = {}
    for bottle in law.bottles:
        site = standing.sites.get(bottle.key)
        if site is None:
            continue
        contents = law.contents(bottle)
        kind = "oil" if "oil" in contents.kinds else "fungicide"
        days = [on(Step(week, kind, bottle.key)) for week in range(weeks)]
        against = label_rules.refusals_by_day(bottle, site, days, law.history, law.rules, law.materials)
        if against[0]:
            refused[bottle.key] = against[0]
        open_weeks = tuple(week for week in range(weeks) if not against[week])
        if open_weeks and contents.acts:
            acts.append(
                Act(
                    kind,
                    bottle.key,
                    open_weeks,
                    _every(bottle, contents, law.rules),
                    _most(bottle, site, law, weeks),
                    contents.codes,
                )
            )
    return Permitted(weeks, tuple(acts), standing.light, law.rules.most_running, _apart_weeks(law)), refused


def kept_back(acts: Sequence[Act], *, light: bool) -> tuple[tuple[Act, ...], tuple[str, ...]]:
    """The acts without what rust learns to live with, and the bottles that are kept for worse.

    While an attack is light and an oil may go on in any of the weeks, leaves and oil come first (practice, and the advice to keep
    codes that can fail for critical times). The next week is asked anew.
    """
    if not (light and any(act.kind == "oil" for act in acts)):
        return tuple(acts), ()
    kept = [act for act in acts if act.kind == "fungicide" and not all(is_exempt(code) for code in act.codes)]
    return tuple(act for act in acts if act not in kept), tuple(act.bottle for act in kept if 0 in act.weeks)


def broken(
    chosen: Sequence[Programme], standings: Sequence[Standing], law: Law, on: Callable[[int, Step], date]
) -> tuple[Broken, ...]:
    """Every step of a whole plan that a rule refuses once all others are counted, in order of time.

    on : date of a step on a planting, by its place.
    """
    steps = sorted(
        ((on(place, step), place, step) for place, each in enumerate(chosen) for step in each.sprays),
        key=lambda each: each[:2],
    )
    shelf = {each.key: each for each in law.bottles}
    done = list(law.history)
    found = []
    for day, place, step in steps:
        bottle, site = shelf[step.bottle], standings[place].sites[step.bottle]
        against = label_rules.refusals(bottle, site, day, done, law.rules, law.materials)
        if against:
            found.append((place, step, against))
        done.append(done_of(bottle, site, day, law.materials))
    return tuple(found)


def _every(bottle: Bottle, contents: Contents, rules: Rules) -> int:
    label = bottle.label
    printed = label.interval_d if label is not None and label.interval_d is not None else contents.interval_d
    days = max(printed if printed is not None else rules.silent_interval_d, rules.least_interval_d)
    return max(math.ceil(days / _WEEK_D), 1)


def _most(bottle: Bottle, site: Site, law: Law, weeks: int) -> int:
    label = bottle.label
    if label is None or label.most_applications is None:
        return weeks
    contents = law.contents(bottle)
    used = sum(alike(contents, bottle.product, each) for each in at(law.history, site.planting))
    # what has grown too old to count is refused week by week where it matters
    return max(label.most_applications - used, 1)


def _apart_weeks(law: Law) -> dict[tuple[str, str], int]:
    """Weeks between two bottles that may not meet on the same leaves."""
    found = {}
    shelf = [(each, law.contents(each)) for each in law.bottles]
    for one, first in shelf:
        for two, second in shelf:
            names = {*second.kinds, *second.actives}
            days = max((days for name, days in first.apart.items() if name in names), default=0)
            if "oil" in first.kinds:
                days = max(days, law.rules.oil_sulfur_d if "sulfur" in names else 0)
                days = max(days, law.rules.oil_captan_d if "captan" in names else 0)
            if days or (first.never_with & names and one != two):
                found[one.key, two.key] = max(math.ceil(days / _WEEK_D), 1)
    return found

"""A second reading of the hard rules for a whole plan, written out in plain loops."""

import math
from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from abaxial.label.bottle import Bottle
from abaxial.plan.programmes.step import SPRAYS, Programme, Step
from tests.plan_cases import WEEKS, Case


class Spray(NamedTuple):
    """Something put on a planting. ours : of the plan, not of the history."""

    on: date
    planting: str
    product: str
    actives: frozenset[str]
    codes: frozenset[str]
    kinds: frozenset[str]
    interval_d: int
    ours: bool
    bottle: Bottle | None = None
    amount_per_m2: float = 0.0


def broken_rules(case: Case, chosen: Sequence[Programme]) -> list[str]:
    """Every hard rule that a plan breaks, by name."""
    found = [f"shared: {each}" for each in _shared(case, chosen)]
    sprays = sorted([*_history(case), *_planned(case, chosen)], key=lambda each: each.on)
    ours = [each for each in sprays if each.ours]
    for each in ours:
        found += [f"{each.planting}: {what}" for what in (*_label(case, each), *_before(case, each, sprays))]
    return [*found, *_turns(case, sprays), *(f"{step}: nothing permits it" for step in _not_permitted(case, chosen))]


def _planned(case: Case, chosen: Sequence[Programme]) -> Iterator[Spray]:
    shelf = {each.key: each for each in case.law.bottles}
    for place, programme in enumerate(chosen):
        for step in programme.sprays:
            bottle, site = shelf[step.bottle], case.standings[place].sites[step.bottle]
            known = [case.law.materials[key] for key in bottle.label.actives]
            yield Spray(
                case.on(place, step),
                site.planting,
                bottle.label.registration or bottle.key,
                frozenset(bottle.label.actives),
                frozenset(code for each in known for code in each.codes),
                frozenset(each.kind for each in known),
                _interval_d(case, bottle),
                True,
                bottle,
                site.product_ml / site.area_m2,
            )


def _history(case: Case) -> Iterator[Spray]:
    for each in case.law.history:
        yield Spray(
            each.on, each.planting, each.product, frozenset(each.actives), frozenset(each.codes), frozenset(each.kinds),
            each.interval_d, False, None, each.product_ml / each.area_m2 if each.area_m2 else 0.0,
        )  # fmt: skip


def _interval_d(case: Case, bottle: Bottle) -> int:
    usual = [case.law.materials[key].numbers.get("interval_d") for key in bottle.label.actives]
    said = bottle.label.interval_d or max((int(each.value) for each in usual if each), default=0)
    return max(said or case.law.rules.silent_interval_d, case.law.rules.least_interval_d)


def _label(case: Case, each: Spray) -> Iterator[str]:
    label, place = (
        each.bottle.label,
        [row.sites[each.bottle.key].planting for row in case.standings].index(each.planting),
    )
    site = case.standings[place].sites[each.bottle.key]
    words = " ".join(label.sites).lower()
    if "canna" not in words and (site.edible or "ornamental" not in words):
        yield "a plant that the label does not name"
    if not any("rust" in pest for pest in label.pests):
        yield "rust is not on the label"
    if site.edible and label.harvest_d is None:
        yield "to be eaten, and no days to harvest"
    if label.unwritten or each.bottle.kind != "bottle":
        yield "a label that is not whole"
    if each.bottle.left is not None and each.bottle.left <= 0.0:
        yield "an empty bottle"
    if site.wilted or (each.kinds & {"oil", "soap"} and (site.stressed or site.newly_planted)):
        yield "plants that are not at ease"
    if label.buffer_m and (site.water_m is None or site.water_m < label.buffer_m):
        yield "water too near"
    if label.rate.unit.endswith("per_m2") and each.amount_per_m2 > label.rate.amount * (1 + 1e-6):
        yield "more than the rate"


def _before(case: Case, each: Spray, sprays: Sequence[Spray]) -> Iterator[str]:
    rules, label = case.law.rules, each.bottle.label
    there = [other for other in sprays if other.planting == each.planting and other is not each]
    for other in there:
        days = abs((each.on - other.on).days)
        same = {code for code in each.codes & other.codes if not _may_run_on(code)}
        if (each.product == other.product or each.actives & other.actives or same) and days < max(
            each.interval_d, other.interval_d
        ):
            yield f"{days} days after {other.product}"
        kinds = {frozenset((one, two)) for one in each.kinds for two in other.kinds}
        if frozenset(("oil", "sulfur")) in kinds and days < rules.oil_sulfur_d:
            yield "oil and sulfur"
    # by its own label, with what was there when it came; what came later was held against its own
    so_far = [*(other for other in there if other.on <= each.on), each]
    like = [other for other in so_far if other.product == each.product or other.actives & each.actives]
    for end in range(label.most_over_d):
        window = [other for other in like if 0 <= (each.on - other.on).days + end < label.most_over_d]
        if label.most_applications is not None and len({other.on for other in window}) > label.most_applications:
            yield "too often"
            break
    own = [other for other in so_far if other.product == each.product]
    for end in range(label.most_over_d) if label.most_product_per_m2 is not None else ():
        amounts = [other.amount_per_m2 for other in own if 0 <= (each.on - other.on).days + end < label.most_over_d]
        if sum(amounts) > label.most_product_per_m2 * (1 + 1e-6):
            yield "too much in a year"
            break


def _turns(case: Case, sprays: Sequence[Spray]) -> list[str]:
    """Rounds of the garden: a new one where a planting gets its next, or after a week."""
    rules, rounds = case.law.rules, []
    days = sorted({each.on for each in sprays if each.codes - {"NC"}})
    for day in days:
        tanks: dict[str, list[Spray]] = {}
        for each in sprays:
            if each.on == day and each.codes - {"NC"}:
                tanks.setdefault(each.planting, []).append(each)
        old = [name for name in tanks if rounds and (day - rounds[-1][0]).days < 7 and name not in rounds[-1][1]]
        new = [name for name in tanks if name not in old]
        for name in old:
            rounds[-1][1][name] = tanks[name]
        if new:
            rounds.append((day, {name: tanks[name] for name in new}))
    found: list[str] = []
    run: dict[str, tuple[int, date]] = {}
    for place, (first, tanks) in enumerate(rounds):
        codes = {code for tank in tanks.values() for each in tank for code in each.codes} - {"NC"}
        last = max(each.on for tank in tanks.values() for each in tank)
        mine = {code for tank in tanks.values() for each in tank if each.ours for code in each.codes}
        for code in [each for each in run if each not in codes]:
            del run[code]
        for code in codes:
            count, before = run.get(code, (0, first))
            run[code] = ((count if (first - before).days <= rules.run_memory_d else 0) + 1, last)
            if code in mine and not _may_run_on(code) and run[code][0] > rules.most_running:
                found.append(f"{code} {run[code][0]} times running")
        found += _shares(case, rounds[: place + 1], mine)
    return found


def _shares(case: Case, rounds: list, mine: set[str]) -> list[str]:
    """Of the year up to the last round."""
    year = [tanks for first, tanks in rounds if (rounds[-1][0] - first).days < 365]
    rules, found = case.law.rules, []
    if len(year) < rules.share_from_sprays:
        return found
    for code in mine & {"11", "7", "1"}:
        codes = [[{c for each in tank for c in each.codes} - {"NC"} for tank in tanks.values()] for tanks in year]
        used = sum(any(code in tank for tank in tanks) for tanks in codes)
        alone = sum(any(tank == {code} for tank in tanks) for tanks in codes)
        here = any(
            {c for each in tank for c in each.codes} - {"NC"} == {code} and any(each.ours for each in tank)
            for tank in year[-1].values()
        )
        if used > rules.mixed_share_frac * len(year) + 1e-6:
            found.append(f"{code} in {used} of {len(year)} turns")
        if here and alone > rules.solo_share_frac * len(year) + 1e-6:
            found.append(f"{code} alone in {alone} of {len(year)} turns")
    return found


def _may_run_on(code: str) -> bool:
    return code == "NC" or code.startswith("M")


def _shared(case: Case, chosen: Sequence[Programme]) -> Iterator[str]:
    """Minutes, hours and stock, with a mix for every five litres."""
    ask, mixing = case.ask, 15.0
    drawn: dict[str, float] = {}
    for week in range(WEEKS):
        work, out, litres = 0.0, {}, {}
        for bed, programme in zip(ask.beds, chosen, strict=True):
            for step in (each for each in programme.steps if each.week == week):
                if step.kind not in SPRAYS:
                    work += bed.work.minutes[step.kind]
                    continue
                work += bed.work.spray_minutes[step.bottle]
                out[step.bottle] = out.get(step.bottle, 0.0) + bed.work.spray_minutes[step.bottle]
                litres[step.bottle] = litres.get(step.bottle, 0.0) + bed.work.litres[step.bottle]
                drawn[step.bottle] = drawn.get(step.bottle, 0.0) + bed.work.product[step.bottle]
        work += sum(math.ceil(each / 5.0 - 1e-6) * mixing for each in litres.values())
        if work > ask.hours.minutes[week] + 1e-4:
            yield f"{work} minutes in week {week}"
        if sum(out.values()) > ask.hours.open_minutes[week] + 1e-4:
            yield f"{sum(out.values())} minutes of spraying in week {week}"
        for bottle, spent in out.items():
            if spent > ask.hours.bottle_minutes[week, list(ask.shelf).index(bottle)] + 1e-4:
                yield f"no hours for {bottle}"
    for each in case.law.bottles:
        if each.left is not None and drawn.get(each.key, 0.0) > each.left + 1e-4:
            yield f"more of {each.key} than there is"


def _not_permitted(case: Case, chosen: Sequence[Programme]) -> Iterator[Step]:
    for standing, programme in zip(case.standings, chosen, strict=True):
        for step in programme.steps:
            if (step.kind in SPRAYS and step.kind == "oil" and not standing.light) or (
                step.kind not in SPRAYS and step.week not in standing.without.get(step.kind, ())
            ):
                yield step

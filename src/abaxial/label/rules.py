"""Whether a bottle may be put on a planting on a day: every reason against it, and what to think about where it may."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date

from abaxial.label.allowed import on_label, over_time
from abaxial.label.allowed.case import REFUSALS, WARNINGS, Case, Refusal, refuse, warn
from abaxial.label.bottle import Bottle
from abaxial.label.contents import contents_of
from abaxial.label.done import Done, Site, at, done_of
from abaxial.label.limits import Rules, rules_from, usual_rules
from abaxial.remedy.material import Material

__all__ = [
    "REFUSALS", "WARNINGS", "Case", "Done", "Refusal", "Rules", "Site", "done_of", "refusals", "rules_from",
    "usual_rules", "warnings",
]  # fmt: skip

_Checks = tuple[Callable[[Case], Iterator[Refusal]], ...]
# what does not ask for the date
_ON_ANY_DAY: _Checks = (on_label.plants, on_label.day, on_label.amount)
_ON_A_DAY: _Checks = (
    on_label.bottle,
    over_time.year,
    over_time.interval,
    over_time.closed,
    over_time.apart,
    over_time.together,
    over_time.rotation,
)
_ORDER = {kind: place for place, kind in enumerate((*REFUSALS, *WARNINGS))}


def refusals(
    bottle: Bottle, site: Site, on: date, history: Sequence[Done], rules: Rules, materials: Mapping[str, Material]
) -> tuple[Refusal, ...]:
    """Every reason why a bottle may not be put on a site on a day, in the order of REFUSALS; empty where it may.

    history : everything done or intended in the garden, in any order, this application not among it; what stands on the same
    planting and day shares its tank. A home brew and a bottle without label are refused without further look.
    """
    return refusals_by_day(bottle, site, [on], history, rules, materials)[0]


def refusals_by_day(
    bottle: Bottle,
    site: Site,
    days: Sequence[date],
    history: Sequence[Done],
    rules: Rules,
    materials: Mapping[str, Material],
) -> tuple[tuple[Refusal, ...], ...]:
    """The same for each of some days, every one of them asked by itself."""
    if bottle.kind == "home_brew":
        return ((refuse("home_brew", bottle=bottle.key),),) * len(days)
    case = _case(bottle, site, date.min, history, rules, materials)
    if case is None:
        return ((refuse("no_label", bottle=bottle.key),),) * len(days)
    always = [each for check in _ON_ANY_DAY for each in check(case)]
    found = []
    for on in days:
        then = [each for check in _ON_A_DAY for each in check(case._replace(on=on))]
        found.append(tuple(sorted((*always, *then), key=lambda each: _ORDER[each.kind])))
    return tuple(found)


def warnings(
    bottle: Bottle, site: Site, on: date, history: Sequence[Done], rules: Rules, materials: Mapping[str, Material]
) -> tuple[Refusal, ...]:
    """What to think about where a bottle may be put on a site, in the order of WARNINGS. Arguments as of `refusals`."""
    case = _case(bottle, site, on, history, rules, materials)
    if case is None:
        return ()
    found = [*_of_the_day(case), *over_time.better_apart(case), *_last_times(case)]
    if case.label.harvest_d and site.edible:
        found.append(warn("wait_before_eating", planting=site.planting, days=case.label.harvest_d))
    found += [warn("beware", bottle=bottle.key, of=caution) for caution in case.contents.cautions]
    return tuple(sorted(found, key=lambda each: _ORDER[each.kind]))


def _of_the_day(case: Case) -> Iterator[Refusal]:
    site, contents = case.site, case.contents
    oil_c = case.rules.oil_warn_c if "oil" in contents.kinds else None
    better_c = min((each for each in (contents.heat_warn_c, oil_c) if each is not None), default=None)
    if site.warmest_c is not None and better_c is not None and site.warmest_c > better_c:
        yield warn("warm", warmest_c=site.warmest_c, better_c=better_c)
    if (site.stressed or site.newly_planted) and not on_label.is_hard_on_plants(contents):
        yield warn("plants_not_at_ease", planting=site.planting)
    if site.flowers_open:
        yield warn("bees", planting=site.planting)


def _last_times(case: Case) -> Iterator[Refusal]:
    turns, most = over_time.turns_with(case), case.rules.most_running
    for code in case.contents.codes:
        running = over_time.running(case, turns, code)
        if running == most:
            yield warn("last_of_its_code", code=code, turns=running, most=most)
    times, allowed = over_time.times_in_a_year(case), case.label.most_applications
    if times == allowed:
        yield warn(
            "last_of_the_year", planting=case.site.planting, times=times, most=allowed, over_d=case.label.most_over_d
        )


def _case(
    bottle: Bottle, site: Site, on: date, history: Sequence[Done], rules: Rules, materials: Mapping[str, Material]
) -> Case | None:
    if bottle.label is None:
        return None
    contents = contents_of(bottle, materials)
    return Case(bottle, bottle.label, contents, site, on, at(history, site.planting), history, rules, materials)

"""What was done before: intervals, the year's amounts, things that must lie apart, and taking turns."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import timedelta

from abaxial.label.allowed.case import Case, Refusal, refuse, warn
from abaxial.label.contents import Contents
from abaxial.label.done import Done, alike, most_in_a_window, open_again
from abaxial.label.limits import CAPPED_CODES, ROUND_D, YEAR_D, Rules
from abaxial.label.rotation import (
    Turn,
    Used,
    in_year,
    is_exempt,
    place_of,
    run_around,
    solo_codes,
    turns_of,
    without_unclassified,
)

_NEARLY, _NEARLY_A_SHARE = 1.0 + 1e-9, 1.0 + 1e-6


def interval(case: Case) -> Iterator[Refusal]:
    """Whether the last of its kind on these plants is long enough ago, and the next one far enough off."""
    own = interval_d(case)
    for done in _nearest(case):
        if not alike(case.contents, case.bottle.product, done):
            continue
        days, least_d = abs((case.on - done.on).days), max(own, done.interval_d)
        if days < least_d:
            yield refuse(
                "too_soon", planting=case.site.planting, other=done.bottle, on=done.on, days=days, least_d=least_d
            )
            return


def interval_d(case: Case) -> int:
    """Days that must lie between two applications of a kind: of the label, else of the material, else the rule's."""
    said = case.label.interval_d or case.contents.interval_d or case.rules.silent_interval_d
    return max(said, case.rules.least_interval_d)


def year(case: Case) -> Iterator[Refusal]:
    """Whether the label's most applications and most product are kept in every stretch of time that holds this day."""
    label, site = case.label, case.site
    for allowed, over_d in _most_applications(case):
        times = times_in(case, over_d)
        if times > allowed:
            yield refuse("too_often_in_a_year", planting=site.planting, times=times, most=allowed, over_d=over_d)
            break
    if label.most_product_per_m2 is not None and site.area_m2 > 0.0:
        same = [each for each in case.there if each.product == case.bottle.product and each.area_m2 > 0.0]
        amounts = [each.product_ml / each.area_m2 for each in same] + [site.product_ml / site.area_m2]
        most = most_in_a_window([*(each.on for each in same), case.on], amounts, case.on, label.most_over_d)
        if most > label.most_product_per_m2 * _NEARLY:
            yield refuse(
                "too_much_in_a_year", planting=site.planting, amount=most, most=label.most_product_per_m2,
                over_d=label.most_over_d,
            )  # fmt: skip


def times_in_a_year(case: Case) -> int:
    """Days with something of the same active ingredients on these plants, this one counted, in the fullest stretch that the
    label counts over."""
    return times_in(case, case.label.most_over_d)


def times_in(case: Case, over_d: int) -> int:
    """The same in stretches of so many days."""
    days = sorted({case.on, *(each.on for each in case.there if _same_actives(case, each))})
    return int(most_in_a_window(days, [1.0] * len(days), case.on, over_d))


def _most_applications(case: Case) -> list[tuple[int, int]]:
    """What this label allows in how many days, and what the labels of others with the same active ingredients did: a bottle
    of another name does not lengthen the year of the first."""
    said = [(each.most_applications, each.most_over_d) for each in case.there if _same_actives(case, each)]
    own = (case.label.most_applications, case.label.most_over_d)
    return sorted({(most, over_d) for most, over_d in (own, *said) if most is not None})


def closed(case: Case) -> Iterator[Refusal]:
    """Whether anybody may go among the plants again on this day."""
    shut = [
        each for each in case.there if each.reentry_h > 0.0 and each.on < case.on and open_again(each).date() > case.on
    ]
    if shut:
        last = max(shut, key=lambda each: open_again(each).replace(tzinfo=None))
        yield refuse("closed", planting=case.site.planting, other=last.bottle, until=open_again(last))


def apart(case: Case) -> Iterator[Refusal]:
    """Whether things that harm leaves together lie far enough apart in time."""
    for done in _nearest(case):
        least_d = _days_between(case, done, apart_pairs(case.rules), "apart")
        days = abs((case.on - done.on).days)
        if days < least_d:
            yield refuse(
                "too_near_another",
                planting=case.site.planting,
                other=done.bottle,
                on=done.on,
                days=days,
                least_d=least_d,
            )
            return


def better_apart(case: Case) -> Iterator[Refusal]:
    """Whether they lie as far apart as would be better."""
    for done in _nearest(case):
        better_d = _days_between(case, done, {("oil", "sulfur"): case.rules.oil_sulfur_better_d}, "better_apart")
        days = abs((case.on - done.on).days)
        if days < better_d:
            yield warn(
                "better_apart", planting=case.site.planting, other=done.bottle, on=done.on, days=days, better_d=better_d
            )
            return


def apart_pairs(rules: Rules) -> Mapping[tuple[str, str], int]:
    """Kinds and actives that lie apart whatever the files say, with days."""
    return {("oil", "sulfur"): rules.oil_sulfur_d, ("oil", "captan"): rules.oil_captan_d}


def together(case: Case) -> Iterator[Refusal]:
    """Whether what goes on the same plants on the same day may share a tank."""
    mine = frozenset((*case.contents.kinds, *case.contents.actives))
    for done in case.there:
        if done.on != case.on:
            continue
        theirs = {
            each for key in done.actives if key in case.materials for each in case.materials[key].never_mixed_with
        }
        clash = sorted((case.contents.never_with & done.words) | (theirs & mine))
        if clash:
            yield refuse("never_together", planting=case.site.planting, other=done.bottle, what=clash[0])
            return


def rotation(case: Case) -> Iterator[Refusal]:
    """Whether the whole garden's rust still meets enough other kinds."""
    if not without_unclassified(case.contents.codes):
        return
    turns, tank = turns_with(case), tank_codes(case)
    for code in case.contents.codes:
        count = running(case, turns, code)
        if count > case.rules.most_running:
            yield refuse("too_many_running", code=code, turns=count, most=case.rules.most_running)
        if code in CAPPED_CODES:
            yield from _shares(case, turns, code, alone=code in solo_codes(tank))


def _shares(case: Case, turns: tuple[Turn, ...], code: str, *, alone: bool) -> Iterator[Refusal]:
    place = place_of(turns, case.on, case.site.planting)
    if place is None:
        return
    first, rules = turns[place].first, case.rules
    ends = [turn.first for turn in turns[place:] if turn.first < first + timedelta(YEAR_D)]
    years = [year for end in ends if (year := in_year(turns, end, YEAR_D)).every >= rules.share_from_sprays]
    for kind, most_frac, counted in (
        ("too_much_alone", rules.solo_share_frac if alone else 1.0, [each.alone[code] for each in years]),
        ("too_much_of_a_code", rules.mixed_share_frac, [each.used[code] for each in years]),
    ):
        for times, each in zip(counted, years, strict=True):
            if times > most_frac * each.every * _NEARLY_A_SHARE:
                yield refuse(kind, code=code, turns=times, of=each.every, most_frac=most_frac)
                break


def running(case: Case, turns: tuple[Turn, ...], code: str) -> int:
    """How many turns of a code stand in a row with this application; 0 for a code that may run on."""
    return (
        0 if is_exempt(code) else run_around(turns, case.on, code, case.rules.run_memory_d, planting=case.site.planting)
    )


def turns_with(case: Case) -> tuple[Turn, ...]:
    """The garden's rounds with this application among them."""
    return turns_of([*_used(case.history), Used(case.on, case.site.planting, frozenset(case.contents.codes))], ROUND_D)


def _used(history: Iterable[Done]) -> list[Used]:
    return [Used(each.on, each.planting, frozenset(each.codes)) for each in history]


def tank_codes(case: Case) -> frozenset[str]:
    """Codes that these plants get on this day."""
    others = (code for each in case.there if each.on == case.on for code in each.codes)
    return frozenset((*case.contents.codes, *others))


def _nearest(case: Case) -> list[Done]:
    """What was done on these plants, the nearest day first."""
    return sorted(case.there, key=lambda each: (abs((case.on - each.on).days), each.on))


def _days_between(case: Case, done: Done, pairs: Mapping[tuple[str, str], int], field: str) -> int:
    """Days that must lie between a case and something done: the most that either side or a pair asks for."""
    contents: Contents = case.contents
    mine = frozenset((*contents.kinds, *contents.actives))
    asked = [days for word, days in getattr(contents, field).items() if word in done.words]
    for key in done.actives:
        if key in case.materials:
            asked += [days for word, days in getattr(case.materials[key], field).items() if word in mine]
    for (one, other), days in pairs.items():
        if (one in mine and other in done.words) or (other in mine and one in done.words):
            asked.append(days)
    return max(asked, default=0)


def _same_actives(case: Case, done: Done) -> bool:
    return case.bottle.product == done.product or bool(set(case.contents.actives) & set(done.actives))

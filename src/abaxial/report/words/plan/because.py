"""Why this and not another: what it saves, against what, what a look would change, what stood in the way, how near the best it is."""

from math import isfinite

from abaxial.report.answers.plan import Choice, JointOffer, Plan
from abaxial.report.answers.week import Band
from abaxial.report.words.dates import day_words
from abaxial.report.words.facts import Facts, always
from abaxial.report.words.likelihood import likelihood_with_number
from abaxial.report.words.plan.steps import instead_words, kinds_words, name_words, steps_words
from abaxial.report.words.quantities import Units, area_words, counted, listed, money_band, money_words
from abaxial.report.words.seen.shares import plain_percent

_WEEK_D = 7
#: a plan nearer to the best than this is as good as any
_NONE_FRAC = 0.0005


def buys_words(choice: Choice, weeks: int, units: Units) -> str:
    """What a choice buys against waiting."""
    now, later = choice.worst_rusted_frac.mid, choice.waiting_rusted_frac.mid
    if not choice.steps:
        span = counted(weeks, "week", "weeks")
        return f"Left alone, about {plain_percent(now)} of its leaf area is rusted at the worst of the {span}."
    more_m2 = (choice.healthy_area_m2_d.mid - choice.waiting_area_m2_d.mid) / (_WEEK_D * weeks)
    leaf = f"about {area_words(abs(more_m2), units)} {'more' if more_m2 >= 0 else 'less'} healthy leaf on a usual day"
    return (
        f"Left alone, about {plain_percent(later)} of its leaf area would be rusted at the worst; this way about "
        f"{plain_percent(now)}, with {leaf}."
    )


def against_words(choice: Choice) -> str:
    """What a choice saves against the best other one, and how sure that is."""
    if choice.instead == choice.steps:
        return ""
    other = instead_words(choice.instead)
    if choice.saves.mid <= 0.0:
        # as near as the search for the best may stop
        return f"{other[0].upper()}{other[1:]} would come to about the same."
    return (
        f"Against {other}, the next best, it saves about {money_band(choice.saves)} in your own "
        f"money; that it is the better one is {likelihood_with_number(choice.sure_frac)}."
    )


def progress_words(seconds: float, best: tuple[float, float] | None) -> str:
    """How far the choice has come, in one line for a narrow terminal.

    seconds : since it began. best : what the best plan so far costs, and what none can cost less than; None before the first.
    """
    if best is None:
        return f"Choosing what to do, {seconds:.0f} s: nothing yet. Ctrl-C takes the first plan."
    cost, bound = best
    less = amount_words(max(cost - bound, 0.0))
    below = (
        "" if not isfinite(bound) else f", at most {less} less is possible" if less != "0" else ", and none is better"
    )
    return f"Choosing, {seconds:.0f} s: {amount_words(cost)} so far{below}. Ctrl-C takes it."


def gap_words(plan: Plan) -> str:
    """How near to the best there can be, in a sentence or two."""
    cost, bound = amount_words(plan.cost), amount_words(plan.bound)
    return (
        f"The plan for {counted(plan.weeks, 'week', 'weeks')} costs about {cost} of your own money, what is lost and "
        f"what is done together, and no plan could cost less than {bound}: {_near(plan.gap_frac)}.{_ended(plan)} "
        "It is made anew next week."
    )


def amount_words(amount: float) -> str:
    """An amount of the person's own money to three figures, or to the last whole one: "41.3"; "1234"."""
    told = f"{amount:.3g}" if abs(amount) < 999.5 else f"{amount:.0f}"
    return told.replace("-", "−")


def _near(gap_frac: float) -> str:
    if not isfinite(gap_frac):
        return "how near it is to the best cannot be told in per cent"
    if gap_frac < _NONE_FRAC:
        return "it is as good as any there can be"
    percent = 100.0 * gap_frac
    much = f"{percent:.1f} %" if percent < 1 else f"{-(-percent // 1):.0f} %"
    return f"it is within {much} of the best there can be"


def _ended(plan: Plan) -> str:
    """What ended the choice, where that was not that the plan is near enough to the best."""
    is_best = plan.gap_frac < _NONE_FRAC
    if plan.ended == "asked":
        nearer = "" if is_best else "; left alone it may come nearer"
        return f" You stopped the choice by hand, and this is the best that it had found by then{nearer}."
    if plan.ended == "time" and not is_best:
        span = counted(plan.allowed_s, "second", "seconds")
        return f" The choice had {span}; with more, as in abaxial week --seconds 60, it may come nearer."
    return ""


def offer_words(offer: JointOffer) -> str:
    """One programme for all that share a rust, with its price."""
    price = offer.dearer
    cost = f"It costs about {money_band(price)} more than the plan, in your own money"
    if price.mid < 0:
        less = Band(-price.high, -price.mid, -price.low)
        cost = f"It costs about {money_band(less)} less than doing each by itself, in your own money"
    taken = "That is what the plan does. " if offer.taken else ""
    return f"{_cap(steps_words(offer.steps))}, of {listed(offer.plantings, most=4)} together. {taken}{cost}."


def conditions_words(offer: JointOffer) -> str:
    """When it has to be done, and when leaves stand again."""
    again = (
        f"Leaves stand again about {day_words(offer.leaves_again)}."
        if offer.leaves_again
        else "When leaves stand again lies beyond the days we reckon."
    )
    return (
        f"It only works if all of them are done in the week of {day_words(offer.week_of)}, while it is dry, and everything "
        f"that was cut or has fallen is bagged and binned. {again}"
    )


def _saves(facts: Facts) -> str:
    saved, low, high = (facts.number(name) for name in ("saved_money", "low_money", "high_money"))
    sure, instead = facts.number("sure_frac"), facts.text("instead")
    kinds = facts.names("instead_kinds")
    other = f" against {kinds_words(kinds) if kinds else instead}" if kinds or instead else ""
    if saved is None:
        return "It costs least, as far as we can reckon."
    much = f"about {money_words(saved)}"
    between = f" ({money_words(low)} to {money_words(high)})" if low is not None and high is not None else ""
    better = f"; that it is the better one is {likelihood_with_number(sure)}" if sure is not None else ""
    return f"It saves {much}{between} in your own money{other}{better}."


def _look_changes(facts: Facts) -> str:
    leaves, few, many = (facts.number(name) for name in ("leaves", "fewer_than", "more_than"))
    among = f" of {leaves:.0f}" if leaves else ""
    told = []
    if few:
        told.append(f"fewer than {few:.0f} leaves{among} with rust, {_then(facts, 'fewer_to')}")
    if many is not None and leaves and many < leaves:
        told.append(f"more than {many:.0f}{'' if told else ' leaves'}{among} with rust, {_then(facts, 'more_to')}")
    if not told:
        return "A look would hardly change this."
    return f"If a look finds {'; if it finds '.join(told)}."


def _then(facts: Facts, name: str) -> str:
    if name not in facts.details:
        return "another choice would be better"
    return f"{kinds_words(facts.names(name))} would be better"


def _bound_by(facts: Facts) -> str:
    rule, money = facts.text("rule") or "", facts.number("money")
    bottle, other = facts.text("bottle") or "a bottle", facts.text("other_bottle") or "another"
    code, week = facts.text("code"), facts.day("week_of")
    when = f" in the week of {day_words(week)}" if week else ""
    what = {
        "minutes": f"There are no more minutes{when}",
        "window": f"There are no more hours fit for spraying{when}",
        "bottle_window": f"There are no more hours fit for {bottle}{when}",
        "stock": f"There is no more of {bottle}",
        "season": f"The year’s most of {bottle} is reached",
        "bottle_weeks": f"The label allows {bottle} no oftener",
        "run": f"Kind {code} has had its turns in a row" if code else "One kind has had its turns in a row",
        "code_weeks": f"Kind {code} has had its share of the year"
        if code
        else "One kind has had its share of the year",
        "apart": f"{bottle[0].upper()}{bottle[1:]} and {other} must lie apart",
    }.get(rule, "A rule stood in the way")
    who = facts.text("planting")
    would = (
        f"; but for that, another choice{f' for {who}' if who else ''} would save about {money_words(money)}"
        if money
        else ""
    )
    kept = " The rule stays." if money and rule not in ("minutes", "window", "bottle_window", "stock") else ""
    return f"{what}{would}.{kept}"


def _not_now(facts: Facts) -> str:
    kind, bottle, who = facts.text("what") or "that", facts.text("bottle") or "", facts.text("planting")
    what = name_words(kind, bottle)
    dearer = facts.number("dearer_money")
    cost = f": it would cost about {money_words(dearer)} more in your own money than it saves" if dearer else ""
    return f"Leave {what}{f' of {who}' if who and not bottle else f' on {who}' if who else ''} for now{cost}."


def _wait(facts: Facts) -> str:
    who = listed(facts.names("plantings") or facts.names("planting"), most=6)
    return f"Leave {who or 'the rest'} alone this week; nothing there is worth more than it costs."


def _kept_for_worse(facts: Facts) -> str:
    who = listed(facts.names("plantings"), most=4)
    return (
        f"{facts.text('bottle') or 'What rust can learn to live with'} is kept for a heavier attack; while little shows"
        f"{f' on {who}' if who else ''}, leaves off and oil come first."
    )


#: why, and why not
BECAUSE = {
    "kept_for_worse": _kept_for_worse,
    "saves": _saves,
    "look_changes": _look_changes,
    "bound_by": _bound_by,
    "not_now": _not_now,
    "waiting_is_best": _wait,
    **always({
        "never_compost": "Nothing that was cut goes on the heap or lies about; spores live on dead leaves for weeks.",
        "never_wet_leaves": "Do not water over the leaves; wet leaves let rust in.",
        "no_division": "Do not divide or give away clumps now; clean ones may only look clean.",
        "look_first": "A look there first would tell more than any work.",
    }),
}  # fmt: skip


def _cap(text: str) -> str:
    return text[0].upper() + text[1:]

"""What healthy stock there will be, how long a planting is kept apart, and where rust can have come from or gone to."""

from datetime import date

from abaxial.report.answers.stock import CultivarStock, PlantingStock, SafetyDivisions, TraceStep, WindStep
from abaxial.report.words.dates import day_words
from abaxial.report.words.likelihood import likelihood_with_number
from abaxial.report.words.quantities import counted, listed
from abaxial.report.words.seen.shares import about_percent, plain_percent

_HOW = {
    "parent": "{via} was divided from it",
    "ancestor": "{via} was taken from it",
    "division": "divided from {via}",
    "bed": "stood in one bed with {via}",
}


def cultivar_words(stock: CultivarStock) -> str:
    """How safe a cultivar is, in a sentence."""
    apart = ""
    if stock.plantings > 1 and stock.if_apart_frac - stock.healthy_frac > 0.005:
        apart = f" Did its plantings fail each by itself it would be {plain_percent(stock.if_apart_frac)}; they fail together."
    return (
        f"A healthy clump of it will be there with a chance of {plain_percent(stock.healthy_frac)}; of "
        f"{counted(stock.clumps, 'clump', 'clumps')} about {stock.healthy_clumps:.1f}.{apart}"
    )


def safety_words(found: SafetyDivisions) -> str:
    """The divisions that make it safe."""
    wanted = plain_percent(found.level_frac)
    if not found.beds:
        return f"No division is needed: it is above the {wanted} that were asked for." if found.enough else (
            f"No division would bring it nearer to {wanted}."
        )  # fmt: skip
    where = listed(tuple(f"{each.divisions} in {each.bed}" for each in found.beds), most=9)
    many = counted(sum(each.divisions for each in found.beds), "division", "divisions")
    reached = (
        f"bring it to {plain_percent(found.healthy_frac)}, above the {wanted} that were asked for"
        if found.enough
        else f"bring it to {plain_percent(found.healthy_frac)} at best, short of the {wanted} that were asked for"
    )
    sure = " No fewer would do." if found.enough and found.proven else ""
    return f"From {found.mother}, {many} ({where}) {reached}.{sure}"


def origin_words(planting: PlantingStock) -> str:
    """Where a planting came from."""
    if not planting.parent:
        return f"Its leaves have stood since {day_words(planting.came_on)}"
    return f"{planting.how.capitalize()} from {planting.parent} on {day_words(planting.came_on)}"


def clock_words(planting: PlantingStock, today: date) -> str:
    """How far the time for which it is kept apart has come."""
    band = planting.periods
    if planting.apart_until is None:
        until = "the time for which it stands apart is not up in the days ahead"
    elif planting.apart_until <= today:
        until = "the time for which it stands apart is up"
    else:
        until = f"by {day_words(planting.apart_until)} the time for which it stands apart is up"
    return (
        f"Since {day_words(planting.watched_since)} rust has had the warmth to come through {band.mid:.1f} times "
        f"({band.low:.1f} to {band.high:.1f}) of {planting.periods_needed:.0f}; {until}."
    )


def step_words(step: TraceStep) -> str:
    """One planting of a trace."""
    chance = ""
    if step.caught_frac is not None:
        chance = f"; that it has rust from there is {likelihood_with_number(step.caught_frac)}"
    return f"{step.planting}, from {day_words(step.on)}: {_HOW.get(step.how, step.how).format(via=step.via)}{chance}."


def wind_words(step: WindStep, giver: str, taker: str) -> str:
    """What the wind can have carried from one planting to another, one of which is the step's."""
    share = about_percent(step.share_frac)
    return (
        f"{step.planting}, in {step.bed}: of what the wind brought {taker} from other plantings, {share} came from {giver}; "
        f"that at least one patch on {taker} is from {giver} is {likelihood_with_number(step.caught_frac)}."
    )

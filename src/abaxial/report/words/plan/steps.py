"""What may be done, as an instruction, as a name, and as a list of the weeks to come."""

from collections.abc import Sequence

from abaxial.plan.programmes.step import SPRAYS
from abaxial.report.answers.plan import PlanStep
from abaxial.report.answers.week import RemedyMark
from abaxial.report.words.dates import day_words
from abaxial.report.words.quantities import listed
from abaxial.report.words.tasks import DO

#: what to do, and to whom
_DO = {
    "look": "Turn leaves of {who} and write down how many show rust",
    "water_at_the_foot": "Water {who} at the foot, never over the leaves",
    "low_leaves_off": "Take the lowest leaves off {who}",
    "rusted_leaves_off": "Take every rusted leaf off {who}",
    "thin": "Thin {who}, so that air goes through",
    "oil": "Spray {who} with {bottle}",
    "fungicide": "Spray {who} with {bottle}",
    "cut_down": "Cut {who} down to the ground",
    "clear_litter": "Pick up all fallen leaves under {who}",
    "destroy": "Dig out {who} and clear everything away",
    "turn_leaves": "Turn the low leaves of {who} and look at the underside",
    "water_soil": "Water the soil of {who}",
}
#: what is done, as something that can be chosen or left
_NAMES = {
    "look": "looking again",
    "water_at_the_foot": "watering at the foot",
    "low_leaves_off": "taking the lowest leaves off",
    "rusted_leaves_off": "taking off rusted leaves",
    "thin": "thinning",
    "oil": "spraying oil",
    "fungicide": "spraying",
    "cut_down": "cutting down",
    "clear_litter": "picking up fallen leaves",
    "destroy": "digging out",
    "wait": "waiting",
}
#: the same for a narrow place
_SHORT = {
    "look": "look again",
    "water_at_the_foot": "water at the foot",
    "low_leaves_off": "lowest leaves off",
    "rusted_leaves_off": "rusted leaves off",
    "thin": "thin",
    "oil": "oil",
    "fungicide": "spray",
    "cut_down": "cut down",
    "clear_litter": "fallen leaves away",
    "destroy": "dig out",
}


def do_words(kind: str, who: str, bottle: str = "") -> str:
    """An instruction: "Take the lowest leaves off the quay cannas"; "Spray the quay cannas with Shed oil"."""
    if kind not in _DO:
        return f"{DO.get(kind) or _plain(kind).capitalize()}{f': {who}' if who else ''}"
    return _DO[kind].format(who=who or "the plants", bottle=bottle or "what the plan names")


def name_words(kind: str, bottle: str = "") -> str:
    """What it is called in a sentence: "taking the lowest leaves off"; "spraying Shed oil"."""
    return f"spraying {bottle}" if kind in SPRAYS and bottle else _NAMES.get(kind, _plain(kind))


def short_words(kind: str, bottle: str = "") -> str:
    """What it is called in a table: "lowest leaves off"; "Shed oil"."""
    return bottle if kind in SPRAYS and bottle else _SHORT.get(kind, _plain(kind))


def steps_words(steps: Sequence[PlanStep]) -> str:
    """Steps in a sentence, each kind once: "thinning, then spraying Shed oil"; "waiting" for none."""
    names = tuple(dict.fromkeys(name_words(each.kind, each.bottle) for each in steps))
    return listed(names, most=4) if names else _NAMES["wait"]


def instead_words(steps: Sequence[PlanStep]) -> str:
    """Steps of another choice, with what it puts off: "waiting this week, then spraying Shed oil"."""
    now = [each for each in steps if each.week == 0]
    later = [each for each in steps if each.week > 0]
    if not later or {(each.kind, each.bottle) for each in later} <= {(each.kind, each.bottle) for each in now}:
        return steps_words(steps)
    return f"{steps_words(now) if now else 'waiting this week'}, then {steps_words(later)}"


def kinds_words(kinds: Sequence[str]) -> str:
    """The same from kinds alone."""
    return listed(tuple(dict.fromkeys(name_words(each) for each in kinds)), most=4) or _NAMES["wait"]


def done_words(remedies: Sequence[RemedyMark]) -> str:
    """What was done lately, for a reader who cannot see the figure, with how far each reaches."""
    return f"Done: {'; '.join(_done(each) for each in remedies)}."


def _done(remedy: RemedyMark) -> str:
    keeps = f"keeps rust out until {day_words(remedy.until)}" if remedy.until else ""
    heals = "reaches what is hidden" if remedy.cures else "" if keeps else "takes away only what shows"
    reach = " and ".join(part for part in (keeps, heals) if part)
    return f"{short_words(remedy.kind, remedy.bottle)} on {day_words(remedy.on)}, {reach}"


def _plain(kind: str) -> str:
    return kind.replace("_", " ")

"""What becomes of what was cut, how blades are cleaned, in which order to work, and what a heap's log is worth."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import isfinite
from typing import NamedTuple

from abaxial import hours
from abaxial.assimilation import outcome
from abaxial.garden.parts import Garden
from abaxial.label import limits, precautions
from abaxial.label.precautions import Known
from abaxial.label.sanitation import compost, disinfect, disposal, heat, order
from abaxial.label.sanitation.compost import PileDay
from abaxial.label.sanitation.disposal import Circumstances
from abaxial.report.answers.disposal import (
    BagJudged,
    CompostJudged,
    Dilution,
    DisposalAnswer,
    RefusedWay,
    Shortfall,
    StandardJudged,
    WorkTurn,
)
from abaxial.report.answers.reason import Band, Reason
from abaxial.season import asking
from abaxial.season.present import Luck, Present, Told, passport_of, present, told_by
from abaxial.season.tending.grounds import planting_called

#: the order of work needs no fine bands
DRAWS = 256
#: what was taken off so lately may still lie about
_LATELY_D = 14
_TAKEN_OFF = ("cut_down", "low_leaves_off", "rusted_leaves_off", "destroyed", "litter_cleared", "thinned")
_NOBODY_SAID = Circumstances()


class Bag(NamedTuple):
    """A closed bag in full sun. days : so far. hourly_c : in its middle, hour by hour, NaN for an hour that nobody read; None where
    nobody measured."""

    days: float
    hourly_c: Sequence[float] | None = None


@dataclass(frozen=True)
class Asked:
    """What somebody wants to know. plantings : names, none for those that were cut lately. troubles : that the leaves have.
    can : what can be done here. mixes : disinfectant to strength on the bottle, 0 to 1. purpose : of label.sanitation's.
    total_l : of each mix [L]. heap : its log; None where nobody asked. bag : one that lies in the sun; None the same."""

    plantings: tuple[str, ...] = ()
    troubles: tuple[str, ...] = ("rust",)
    can: Circumstances = _NOBODY_SAID
    mixes: tuple[tuple[str, float], ...] = ()
    purpose: str = "tools"
    total_l: float = 1.0
    heap: tuple[PileDay, ...] | None = None
    bag: Bag | None = None


def disposing(garden: Garden, *, at: datetime, asked: Asked, told: Told | None = None) -> DisposalAnswer:
    """What to do with what was cut at a moment. Raises RequestError for a mix that cannot be; other arguments and errors as
    in `week.week`."""
    now = present(garden, at, told_by(garden, at) if told is None else told, Luck(DRAWS))
    today = hours.local_moment(hours.hour_of(at), garden.place.zone).date()
    heap = None if asked.heap is None else compost.compost_fit(asked.troubles, asked.heap)
    found = disposal.disposal(asked.troubles, _with_heap(asked.can, heap))
    dilutions = tuple(_dilution(asked, name, strength) for name, strength in asked.mixes)
    fire = ("heat",) if found.way == "burn" else ()
    works = ("blade", *(each for each in ("bleach", "alcohol") if each in dict(asked.mixes)), *fire)
    left = found.left_frac
    return DisposalAnswer(
        garden=garden.name,
        invented=garden.invented,
        today=today,
        plantings=_plantings(now, asked, today),
        troubles=asked.troubles,
        way=found.way,
        before=found.before,
        others=found.others,
        refused=tuple(RefusedWay(*each) for each in found.refused),
        cautions=found.cautions,
        left_frac=Band(left.low, left.value, left.high),
        questions=found.questions,
        dilutions=dilutions,
        compost=None if heap is None else _judged(heap),
        order=_order(now),
        precautions=tuple(
            Reason(each.kind, each.details) for each in precautions.precautions_for(works, Known(limits.usual_rules()))
        ),
        unknown=_unknown(now),
        passport=passport_of(now),
        bag=None if asked.bag is None else _bag_judged(asked.bag, asked.troubles),
    )


def _with_heap(can: Circumstances, heap: compost.Fit | None) -> Circumstances:
    """A log that passed opens the way of the hot heap."""
    return can if heap is None or not heap.fit or not heap.judged else can._replace(pile_passed=True)


def _plantings(now: Present, asked: Asked, today: date) -> tuple[str, ...]:
    if asked.plantings:
        return tuple(dict.fromkeys(planting_called(each, now.garden).name for each in asked.plantings))
    since = today - timedelta(days=_LATELY_D)
    lately = [each for each in now.told.done if each.remedy in _TAKEN_OFF and since <= each.on <= today]
    return tuple(dict.fromkeys(name for each in lately for name in each.plantings))


def _dilution(asked: Asked, name: str, strength_frac: float) -> Dilution:
    mix = disinfect.mix_for(name, asked.purpose, bought_frac=strength_frac, total_ml=1000.0 * asked.total_l)
    return Dilution(
        disinfectant=mix.disinfectant,
        purpose=mix.purpose,
        bought_frac=strength_frac,
        product_ml=mix.product_ml,
        water_ml=mix.water_ml,
        strength_frac=mix.strength_frac,
        contact_min=mix.contact_min,
        use_within_h=mix.use_within_h,
        rinse=mix.rinse,
        steps=mix.steps,
        cautions=mix.cautions,
    )


def _judged(heap: compost.Fit) -> CompostJudged:
    return CompostJudged(
        heap.fit,
        heap.reasons,
        tuple(
            StandardJudged(each.standard.name, each.passes, each.standard.frees_rust, _shortfalls(each.shortfalls))
            for each in heap.judged
        ),
    )


def _shortfalls(found: Sequence[compost.Shortfall]) -> tuple[Shortfall, ...]:
    return tuple(Shortfall(each.kind, each.needed, each.found if isfinite(each.found) else None) for each in found)


def _bag_judged(bag: Bag, troubles: Sequence[str]) -> BagJudged:
    found = heat.bag_in_the_sun(bag.days, bag.hourly_c)
    lasting = ("outlives_the_sun",) if any(each in compost.NEVER_COMPOSTED for each in troubles) else ()
    is_ready = found.ready and not lasting
    return BagJudged(
        ready=is_ready,
        reasons=("ready",) if is_ready else (*lasting, *found.short),
        days=found.days,
        needed_d=found.needed_d,
        doses=found.doses if isfinite(found.doses) else None,
        needed_doses=found.needed_doses,
        hot_h=found.hot_h if isfinite(found.hot_h) else None,
    )


def _order(now: Present) -> tuple[WorkTurn, ...]:
    """The plantings as one works through them; none where no estimate says how each stands."""
    question = asking.asking(now)
    if question is None:
        return ()
    posterior = asking.posterior(question)
    standings = [
        order.Standing(here.stand.planting.name, share.showing_frac[1], share.latent_frac[1])
        for here, share in zip(question.grown.here, outcome.shares(posterior, now=question.day, weeks=1), strict=True)
    ]
    return tuple(WorkTurn(each.planting, each.before) for each in order.working_order(standings))


def _unknown(now: Present) -> tuple[Reason, ...]:
    nothing = now.known.nothing
    return () if nothing is None else (Reason("cannot_know", {**nothing.details, "what": "weather"}),)

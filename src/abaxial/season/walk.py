"""Where the next minutes are worth most: a walk through the garden as it stands."""

from datetime import datetime

from abaxial import hours
from abaxial.assimilation import outcome
from abaxial.assimilation.estimate import Posterior
from abaxial.garden.parts import Garden
from abaxial.plan import corners, pace
from abaxial.plan import walk as plan
from abaxial.plan.corners import Standing
from abaxial.plan.walk import Walk
from abaxial.report.answers.walk import Stop, WalkAnswer
from abaxial.report.answers.week import Band, Reason
from abaxial.season import asking
from abaxial.season.asking import Asking
from abaxial.season.planting_week import Here, band
from abaxial.season.present import Luck, Present, Told, passport_of, present, told_by

#: walks are planned on fewer versions than pages: the order of what is worth most needs no fine bands
DRAWS = 1000


def walk(
    garden: Garden, *, at: datetime, minutes: int, told: Told | None = None, draws: int = DRAWS, seed: int = 1
) -> WalkAnswer:
    """The walk that is worth most at a moment.

    minutes : that the person has, 0 or more. Other arguments and errors as in `week.week`.
    """
    now = present(garden, at, told_by(garden, at) if told is None else told, Luck(draws, seed))
    asked = asking.asking(now)
    if asked is None:
        return _answer(now, minutes, Reason("walk_nothing", {}), (), ())
    posterior = asking.posterior(asked)
    found = plan.plan_walk(
        corners.corners_of(posterior, [_standing(each, asked) for each in asked.grown.here], now=asked.day),
        minutes=float(minutes),
        pace=pace.read_pace(),
    )
    stops = _stops(found, asked, posterior)
    leaves = sum(each.leaves for each in stops)
    if not stops:
        return _answer(now, minutes, Reason("walk_nothing", {}), (), found.tells_little)
    line = Reason("walk_plan", {"stops": len(stops), "minutes": max(round(found.minutes), 1), "leaves": leaves})
    return _answer(now, minutes, line, stops, found.tells_little)


def _standing(here: Here, asked: Asking) -> Standing:
    """A planting as one walks up to it."""
    each, today = here.stand, asked.grown.sky.today
    leaves = each.growth
    area = leaves.leaf_area_index_lower[today] + leaves.leaf_area_index_upper[today]
    return Standing(
        planting=each.planting.name,
        bed=each.bed.name,
        plants=each.planting.clumps,
        leaves_per_plant=float(leaves.open_leaves[today]) * each.species["shoots_per_clump"],
        leaf_area_m2=float(area) * each.planting.clumps * each.planting.spacing_m**2,
        east_m=each.bed.east_m,
        north_m=each.bed.north_m,
    )


def _stops(found: Walk, asked: Asking, posterior: Posterior) -> tuple[Stop, ...]:
    names = [each.stand.planting.name for each in asked.grown.here]
    shares = outcome.shares(posterior, now=asked.day, weeks=1)
    return tuple(
        Stop(
            order=order,
            planting=each.planting,
            bed=each.bed,
            part=each.part,
            leaves=each.leaves,
            plants=each.plants,
            minutes=max(round(each.minutes), 1),
            why=_why(each, band(shares[names.index(each.planting)].latent_frac)),
            if_none=Reason("if_none_fewer_than", {"turned": each.leaves, "one_in": each.none_one_in_80_leaves})
            if each.none_one_in_80_leaves > 1
            else None,
        )
        for order, each in enumerate(found.stops, start=1)
    )


def _why(stop: plan.Stop, latent: Band) -> Reason:
    """What makes a stop worth its minutes: leaves about to open, or doubt."""
    if stop.due:
        return Reason("walk_stop_due", {"planting": stop.planting})
    return Reason("walk_stop_uncertain", {"planting": stop.planting, "latent": latent, "gain_frac": stop.gain_frac})


def _answer(
    now: Present, minutes: int, line: Reason, stops: tuple[Stop, ...], not_worth: tuple[str, ...]
) -> WalkAnswer:
    today = hours.local_moment(hours.hour_of(now.at), now.garden.place.zone).date()
    nothing = now.known.nothing
    cannot = () if nothing is None else (Reason("cannot_know", {**nothing.details, "what": "weather"}),)
    return WalkAnswer(
        garden=now.garden.name,
        invented=now.garden.invented,
        today=today,
        minutes=minutes,
        headline=line,
        stops=stops,
        not_worth=not_worth,
        unknown=cannot,
        passport=passport_of(now),
    )

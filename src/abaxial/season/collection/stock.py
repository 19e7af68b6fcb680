"""The collection: for every cultivar the chance of healthy stock, for every planting whether and when it may be divided."""

from collections.abc import Mapping
from datetime import date, datetime

from abaxial import hours
from abaxial.collection import clean, clock
from abaxial.collection.clean import Case, Looked, Verdict
from abaxial.collection.stock import Floats, StockChance, none_left_of, stock_at_risk
from abaxial.errors import RequestError
from abaxial.garden.parts import Garden
from abaxial.journal.ground import key_of
from abaxial.label import limits, precautions
from abaxial.label.precautions import Known
from abaxial.label.sanitation.rules import read_rules
from abaxial.report.answers.reason import Band, Reason
from abaxial.report.answers.stock import (
    CultivarStock,
    PlantingStock,
    SafetyDivisions,
    StockAnswer,
    Traced,
)
from abaxial.season import asking
from abaxial.season.collection import by_wind, safety
from abaxial.season.collection import family as families
from abaxial.season.collection.family import Family
from abaxial.season.collection.known import Collection, collection_of, leaves_per_clump, stock_of
from abaxial.season.collection.safety import Wanted
from abaxial.season.planning.plots import row_of
from abaxial.season.planting_week import Here
from abaxial.season.present import Told, passport_of, told_by
from abaxial.season.tending.grounds import planting_called


def stock(
    garden: Garden,
    *,
    at: datetime,
    told: Told | None = None,
    family: Family | None = None,
    trace_from: str | None = None,
    wanted: Wanted | None = None,
) -> StockAnswer:
    """The stock of a garden at a moment, up to the end of the outlook.

    family : see Family; None where nobody tells. trace_from : a planting to trace rust from. wanted : a cultivar to make safe; None for none.
    Raises RequestError where there is no planting with a known rust, or no weather; other errors as in `week.week`.
    """
    told, family = told_by(garden, at) if told is None else told, family or Family()
    traced_name = None if trace_from is None else planting_called(trace_from, garden).name
    if wanted is not None:
        wanted = _named(wanted, garden)
    tried = garden if wanted is None else safety.with_trials(garden, wanted, _today(garden, at))
    known = collection_of(tried, at, told if tried is garden else told._replace(shelf=None))
    sky = known.question.grown.sky
    own = [each for each in known.question.grown.here if not safety.is_trial(each.stand.planting)]
    return StockAnswer(
        garden=garden.name,
        invented=garden.invented,
        today=sky.local_date,
        until=hours.date_of(sky.when.first_day + sky.days - 1),
        cultivars=_cultivars(known, garden, wanted),
        plantings=tuple(_planting(known, place, each, family) for place, each in enumerate(own)),
        traced=None if traced_name is None else _traced(known, traced_name, garden, family),
        precautions=tuple(
            Reason(each.kind, each.details)
            for each in precautions.precautions_for(("blade",), Known(limits.usual_rules()))
        ),
        unknown=tuple(Reason(each.kind, each.details) for each in told.questions),
        passport=passport_of(known.now),
    )


def _named(wanted: Wanted, garden: Garden) -> Wanted:
    """The cultivar as the garden spells it. Raises RequestError where none is called so."""
    names = list(dict.fromkeys(safety.cultivar_of(each) for each in garden.plantings))
    name = next((each for each in names if key_of(each) == key_of(wanted.cultivar)), None)
    if name is None:
        raise RequestError(
            f"There is no cultivar called {wanted.cultivar!r}.",
            remedy=f"There are {', '.join(names) or 'none yet'}.",
            where=wanted.cultivar,
        )
    return wanted._replace(cultivar=name)


def _today(garden: Garden, at: datetime) -> date:
    return hours.local_moment(hours.hour_of(at), garden.place.zone).date()


# ---------------------------------------------------------------- cultivars


def _cultivars(known: Collection, garden: Garden, wanted: Wanted | None) -> tuple[CultivarStock, ...]:
    places = [place for place, each in enumerate(known.question.grown.here) if not safety.is_trial(each.stand.planting)]
    kept = stock_of(known, places, -1)
    plan: Mapping[str, SafetyDivisions] = {}
    if wanted is not None:
        plan = {wanted.cultivar: _divisions(known, garden, wanted, none_left_of(wanted.cultivar, kept))}
    return tuple(_cultivar(each, plan.get(each.cultivar)) for each in stock_at_risk(kept))


def _divisions(known: Collection, garden: Garden, wanted: Wanted, none_left: Floats) -> SafetyDivisions:
    """Where divisions of a cultivar would go. Raises RequestError where its rust is not known."""
    now = known.question.day - known.posterior.first_day
    mothers, trials = {}, []
    for place, each in enumerate(known.question.grown.here):
        planting = each.stand.planting
        if safety.is_trial(planting):
            trials.append((planting, stock_of(known, [place], -1).clean_frac[:, 0]))
        elif safety.cultivar_of(planting) == wanted.cultivar:
            mothers[planting.name] = stock_of(known, [place], now).clean_frac[:, 0]
    if not mothers or not trials:
        raise RequestError(
            f"No rust is known of {wanted.cultivar}, so nothing threatens it that we could reckon.",
            remedy="Name another cultivar.",
        )
    return safety.divisions(wanted, garden, none_left, mothers, trials)


def _cultivar(chance: StockChance, plan: SafetyDivisions | None) -> CultivarStock:
    return CultivarStock(
        cultivar=chance.cultivar,
        plantings=chance.plantings,
        clumps=chance.clumps,
        healthy_frac=chance.healthy_frac,
        if_apart_frac=chance.if_apart_frac,
        healthy_clumps=chance.mean_clumps,
        safety=plan,
    )


# ---------------------------------------------------------------- plantings


def _planting(known: Collection, place: int, here: Here, family: Family) -> PlantingStock:
    planting, sky = here.stand.planting, known.question.grown.sky
    case = _case(known, place, here, family)
    verdict = clean.may_divide(case)
    rusty = [look.day for look in case.looks if look.rusted and look.day <= case.now_day]
    set_day = max([case.set_day, *rusty])
    needed = read_rules()["hold_periods"]
    ticking = clock.clock(case.progress, set_day=set_day, now_day=case.now_day, periods=needed)
    passed = sorted(float(each) for each in ticking.passed)
    low, mid, high = (passed[round(share * (len(passed) - 1))] for share in (0.1, 0.5, 0.9))
    parent = family.parent(planting.name)
    return PlantingStock(
        planting=planting.name,
        bed=planting.bed,
        cultivar=safety.cultivar_of(planting),
        parent="" if parent is None else parent.parent,
        how="" if parent is None else parent.how,
        came_on=family.came_on(planting),
        may_divide=verdict.allowed,
        reasons=_reasons(verdict, case, known),
        first_on=known.date_of(verdict.first_day),
        leaves_needed=verdict.leaves_needed,
        any_rust_frac=known.shares[place].any_frac,
        # leaves that were turned on a date were turned as the garden day before it ended
        watched_since=hours.date_of(sky.when.first_day + set_day + (set_day in rusty)),
        periods=Band(low, mid, high),
        periods_needed=needed,
        apart_until=known.date_of(ticking.late_day),
    )


def _case(known: Collection, place: int, here: Here, family: Family) -> Case:
    sky, planting = known.question.grown.sky, here.stand.planting
    days = here.nights.infected_frac.shape[2]
    let_in = here.nights.infected_frac.mean(axis=(0, 1, 3))
    looks = tuple(
        _looked(each.turned, each.rusted, asking.look_day(each.on, sky), is_rusty=families.is_rusty(each))
        for each in known.now.seen
        if each.planting == planting.name and 0 <= asking.look_day(each.on, sky) <= sky.today
    )
    leaves = leaves_per_clump(here, sky.today) * planting.clumps
    return Case(
        progress=_progress(here, days),
        wet=let_in >= here.biology.rust["enough_frac"],
        now_day=sky.today,
        set_day=min(max(row_of(family.came_on(planting), sky), 0), sky.today),
        looks=looks,
        leaves=max(round(leaves), 1),
        any_rust_frac=known.shares[place].any_frac,
    )


def _looked(turned: int | None, rusted: int | None, day: int, *, is_rusty: bool) -> Looked:
    """A look; one without a count that found rust is one leaf with it, one that found none tells of no leaf."""
    if turned is None or rusted is None:
        return Looked(day, int(is_rusty), int(is_rusty))
    return Looked(day, turned, rusted)


def _progress(here: Here, days: int) -> Floats:
    """Latent periods passed by the start of each day, (days, members and draws)."""
    lower = here.nights.progress[0].transpose(1, 0, 2)
    flat: Floats = lower.reshape(lower.shape[0], -1)[:days].astype(float)
    return flat


def _reasons(verdict: Verdict, case: Case, known: Collection) -> tuple[Reason, ...]:
    """Why a planting may not be divided, with dates instead of day numbers."""
    last = max((look.day for look in case.looks if look.rusted), default=None)
    told = []
    for each in verdict.reasons:
        details: dict[str, object] = {"needed": each.needed, "found": each.found}
        if each.kind == "rust_seen" and last is not None:
            details = {"on": known.date_of(last + 1)}
        elif each.kind == "no_rain_since":
            details = {"since": known.date_of(each.found)}
        told.append(Reason(each.kind, details))
    return tuple(told)


def _traced(known: Collection, name: str, garden: Garden, family: Family) -> Traced:
    sky = known.question.grown.sky
    here = next((each for each in known.question.grown.here if each.stand.planting.name == name), None)
    if here is None:
        raise RequestError(f"No rust is known of {name}, so there is none to trace.", remedy="Name another planting.")
    seen = families.rust_on(known.now.seen, name, sky.local_date)
    seen_on = seen[-1] if seen else None
    seen_day = min(max(row_of(seen_on or sky.local_date, sky), 0), sky.today)
    progress = _progress(here, here.nights.infected_frac.shape[2])
    began = clock.could_have_begun(progress, seen_day=seen_day, periods=clean.read_bars()["trace_periods"])
    begun = hours.date_of(sky.when.first_day + began.day), began.known
    of = families.lineage_of(garden, family)
    found = families.traced(name, of, seen_on=seen_on, begun=begun, today=sky.local_date)
    return by_wind.with_wind(found, known)

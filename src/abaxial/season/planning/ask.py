"""Everything that the choice of this week hangs on, put together."""

from collections.abc import Callable, Container, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from typing import NamedTuple

from abaxial import hours
from abaxial.assimilation import outcome
from abaxial.assimilation.estimate import Posterior
from abaxial.epidemic import rollout
from abaxial.garden.flowers import flowers_open_in
from abaxial.journal.shelf.folding import Declined
from abaxial.label.rules import Refusal
from abaxial.label.window.limits import read_limits
from abaxial.plan import cost
from abaxial.plan.cost import Values
from abaxial.plan.programmes import together
from abaxial.plan.programmes.permitted import Permitted
from abaxial.plan.programmes.step import SPRAYS, Programme, Step
from abaxial.plan.programmes.together import Joint
from abaxial.plan.proposal.prospect import Ask, Bed
from abaxial.plan.prospects import begin, permit, stakes, stock
from abaxial.plan.prospects.labour import SprayNeed, work_of
from abaxial.plan.prospects.permit import Law, permitted
from abaxial.plan.prospects.permit import Standing as Open
from abaxial.plan.prospects.price import Prices, price_money, teaching
from abaxial.plan.prospects.stock import Time
from abaxial.report.answers.week import Reason
from abaxial.scouting.sightings import Sighting
from abaxial.season import story
from abaxial.season.asking import Asking
from abaxial.season.planning import habits, law
from abaxial.season.planning.law import Ground
from abaxial.season.planning.open_hours import Opening, openings
from abaxial.season.planning.plots import row_of
from abaxial.season.present import Present
from abaxial.season.stand import Sky

WEEKS = 6
#: dry weeks in which cutting everything down is thought of
DRY_WEEKS = 2
#: versions on which programmes are rolled forward
VERSIONS = 256
#: days for which what was turned down is not proposed again
DECLINED_D = 7
#: litres of a small hand sprayer, where nobody said another
TANK_L = 5.0
#: chance that a stem is attacked where nobody looked at it, and where rust was seen on one of late
STEM_FRAC, STEM_SEEN_FRAC, STEM_SEEN_D = 0.02, 0.9, 42
#: from this share of leaf area on, showing or hidden, it is worth thinking about a stand that is less crowded or wet
RUSTED_FRAC = 0.001
#: from this share of leaf area on rust is taken to show
SHOWS_FRAC = 0.005


class Calendar(NamedTuple):
    """When things are done. work_days : dates of each week on which the gardener is there. opened : bed and bottle to its hours
    in the coming week."""

    sky: Sky
    zone: str
    work_days: tuple[tuple[date, ...], ...]
    opened: Mapping[tuple[str, str], Opening]

    def on(self, bed: str, step: Step) -> date:
        """The date of a step on a bed: of a spray the weekday of its best hour in the coming week, so that its interval comes
        out even; of all else, and where no hour is fit, the first day of work."""
        if step.kind in SPRAYS:
            opening = self.opened.get((bed, step.bottle))
            if opening is not None and opening.windows:
                best = opening.moments(opening.windows[0], self.zone)[2].date()
                return story.days_after(best, 7 * step.week)
        days = self.work_days[step.week]
        return days[0] if days else hours.date_of(self.sky.when.first_day + self.first_row + 7 * step.week)

    def may_spray(self, bed: str, bottle: str) -> bool:
        """Whether an hour of the coming week is fit; none is where nothing is forecast."""
        opening = self.opened.get((bed, bottle))
        return opening is not None and bool(opening.windows)

    def row(self, bed: str, step: Step) -> int:
        """The garden day of a step."""
        return row_of(self.on(bed, step), self.sky)

    @property
    def first_row(self) -> int:
        """The garden day of today."""
        return row_of(self.sky.local_date, self.sky)


@dataclass(frozen=True)
class Question:
    """What is asked, and what stood in the way of asking more. refused : of each planting, bottle to why not this week.
    hindered : bottles that cannot be mixed for a planting."""

    ask: Ask
    law: Law
    grounds: tuple[Ground, ...]
    standings: tuple[Open, ...]
    refused: tuple[Mapping[str, tuple[Refusal, ...]], ...]
    hindered: tuple[Reason, ...]
    calendar: Calendar

    def on(self, place: int, step: Step) -> date:
        """The date of a step on a planting."""
        return self.calendar.on(self.bed_of(place), step)

    def bed_of(self, place: int) -> str:
        """The name of the bed a planting stands in."""
        return self.grounds[place].here.stand.bed.name


def question_of(now: Present, asked: Asking, told: Posterior) -> Question:
    """The question of this week. Raises LabelError or RequestError for values that would loosen a rule."""
    grown, sky = asked.grown, asked.grown.sky
    values = cost.own_values(_some(now.told.values, cost.Values.__dataclass_fields__), where="the values you set")
    the_law = law.law_of(now.told, asked.materials)
    work_days = law.days_of_work(now.garden.gardener.weekdays, sky.local_date, WEEKS)
    calendar = Calendar(sky, now.garden.place.zone, work_days, openings(now.garden, grown, the_law, now.told.values))
    days = (calendar.first_row, min(calendar.first_row + 7 * WEEKS, sky.days))
    base = begin.begin(told, asked.season, VERSIONS, days)
    grounds = _grounds(now, asked, told, days)
    needs, hindered = zip(*(law.needs_of(each, the_law.bottles) for each in grounds), strict=True)
    standings = [
        law.open_of(each, the_law, need, sky.local_date, WEEKS) for each, need in zip(grounds, needs, strict=True)
    ]
    declined = _declined(now.told.declined, sky.local_date)
    may = [
        _permitted(each, standing, the_law, calendar, declined)
        for each, standing in zip(grounds, standings, strict=True)
    ]
    beds = tuple(
        _bed(each, need, open_acts, now, calendar, (days, base.order.size))
        for each, need, (open_acts, _) in zip(grounds, needs, may, strict=True)
    )
    owned = stakes.beside([each.stake for each in beds], rollout.arriving(base.season))
    beds = tuple(bed._replace(stake=stake) for bed, stake in zip(beds, owned, strict=True))
    codes = stock.codes_of(the_law)
    ask = Ask(
        base=base,
        beds=beds,
        joint=_joint(asked, grounds, beds, days),
        shelf={each.key: the_law.contents(each).actives for each in the_law.bottles},
        materials=asked.materials,
        stock=stock.shelf_of(the_law, codes, now.told.values.get("tank_l", TANK_L), values.hour_money),
        hours=stock.hours_of(_time(now, calendar), the_law.bottles),
        rotation=stock.rotation_of(the_law, codes, sky.local_date),
        values=values,
        price=_price(now, the_law, grounds, beds, values),
    )
    return Question(
        ask, the_law, tuple(grounds), tuple(standings), tuple(each for _, each in may), sum(hindered, ()), calendar
    )


def _bed(
    ground: Ground,
    needs: Mapping[str, SprayNeed],
    may: Permitted,
    now: Present,
    calendar: Calendar,
    over: tuple[tuple[int, int], int],
) -> Bed:
    """over : the days ahead, and how many versions."""
    planting, days = ground.here.stand.planting, over[0]
    stems = _stems(now.seen, calendar.sky.local_date)
    stake = stakes.stake_of(
        ground.plot,
        *over,
        flowers=planting.flower_stems_per_week / 7.0 * (days[1] - days[0]),
        worth=(planting.worth_factor, planting.replaceable),
        stem_frac=stems.get(planting.name, STEM_FRAC),
    )
    return Bed(
        ground.plot,
        may,
        work_of(ground.plot, needs, rusted_leaves=ground.rusted_leaves),
        stake,
        partial(calendar.row, planting.bed),
    )


def _some(values: Mapping[str, float], names: Container[str]) -> dict[str, object]:
    return {name: value for name, value in values.items() if name in names}


def _grounds(now: Present, asked: Asking, told: Posterior, days: tuple[int, int]) -> list[Ground]:
    middles = outcome.middles(told, now=asked.day)
    # where next to nothing is rusted, nobody thins this week
    rusted = [each.showing_frac + each.latent_frac >= RUSTED_FRAC for each in middles]
    nights = habits.habits_of(now.garden, asked.grown, days, [place for place, is_so in enumerate(rusted) if is_so])
    tank_l, found = now.told.values.get("tank_l", TANK_L), []
    for here, plot, own, middle in zip(asked.grown.here, asked.plots, nights, middles, strict=True):
        leaves, today = here.stand.growth, asked.grown.sky.today
        is_open = flowers_open_in(here.stand.bed.name, now.garden.plantings, asked.grown.sky.local_date)
        area = float(leaves.leaf_area_index_lower[today] + leaves.leaf_area_index_upper[today])
        on_shoots = float(leaves.open_leaves[today]) * here.stand.species["shoots_per_clump"] * plot.clumps
        found.append(
            Ground(
                here,
                replace(plot, habits=own),
                leaf_area_m2=area * plot.ground_m2,
                showing_frac=middle.showing_frac,
                tank_l=tank_l,
                flowers_open=is_open,
                rusted_leaves=on_shoots * middle.incidence_frac,
            )
        )
    return found


def _declined(turned_down: Sequence[Declined], today: date) -> frozenset[tuple[str, str]]:
    """Planting and kind of act of everything that was turned down within the last week."""
    lately = [each for each in turned_down if 0 <= (today - each.on).days < DECLINED_D]
    return frozenset((name, each.task) for each in lately for name in each.plantings)


def _permitted(
    ground: Ground, standing: Open, the_law: Law, calendar: Calendar, declined: Container[tuple[str, str]]
) -> tuple[Permitted, Mapping[str, tuple[Refusal, ...]]]:
    """What may be done; a bottle for which no hour of the coming week is fit, and what was turned down, waits a week."""
    bed, name = ground.here.stand.bed.name, ground.here.stand.planting.name
    found, refused = permitted(standing, the_law, partial(calendar.on, bed), WEEKS)
    acts = [
        act
        if (name, act.kind) not in declined and (act.kind not in SPRAYS or calendar.may_spray(bed, act.bottle))
        else act._replace(weeks=tuple(week for week in act.weeks if week > 0))
        for act in found.acts
    ]
    left, kept = permit.kept_back([act for act in acts if act.weeks], light=standing.light)
    refused = {**refused, **{bottle: (Refusal("kept_for_worse", {"planting": name}),) for bottle in kept}}
    return replace(found, acts=left), refused


def _joint(asked: Asking, grounds: Sequence[Ground], beds: Sequence[Bed], days: tuple[int, int]) -> tuple[Joint, ...]:
    rain_mm = beds[0].plot.rain_mm[:, days[0] : days[1]]
    return together.cut_down_together(
        [each.here.biology.rust.key for each in grounds],
        # of a later one it is time to think when it comes near
        together.dry_weeks(rain_mm, together.read_dry())[:DRY_WEEKS],
        together.weeks_to_cut([each.permitted for each in beds]),
        showing=[each.showing_frac >= SHOWS_FRAC for each in grounds],
    )


def _time(now: Present, calendar: Calendar) -> Time:
    """Minutes of work, and those of the coming week in which spraying is fit. Beds that are open at one hour are sprayed one
    after the other."""
    hours_by: dict[str, int] = {}
    for (_, bottle), opening in calendar.opened.items():
        hours_by[bottle] = max(hours_by.get(bottle, 0), opening.open_h)
    return Time(
        minutes=[float(now.garden.gardener.minutes * len(days)) for days in calendar.work_days],
        open_minutes=60.0 * max(hours_by.values(), default=0),
        bottle_minutes={bottle: 60.0 * hours for bottle, hours in hours_by.items()},
    )


def _price(
    now: Present, the_law: Law, grounds: Sequence[Ground], beds: Sequence[Bed], values: Values
) -> Callable[[int, Programme], float]:
    contents = {each.key: the_law.contents(each) for each in the_law.bottles}
    taught = teaching((each.actives for each in now.told.done if each.is_application), the_law.materials)
    prices = Prices(contents, now.told.prices, taught, the_law.materials, values)
    total = sum(each.leaf_area_m2 for each in grounds)
    near_m = read_limits().cover_pond_m

    def price(place: int, programme: Programme) -> float:
        ground = grounds[place]
        fish_m = ground.here.stand.bed.surroundings.fish_m
        return price_money(
            programme,
            beds[place].work,
            prices,
            near_water=fish_m is not None and fish_m < near_m,
            share_frac=ground.leaf_area_m2 / total if total > 0.0 else 0.0,
        )

    return price


def _stems(seen: Sequence[Sighting], today: date) -> Mapping[str, float]:
    """Plantings on whose stems rust was seen of late, or was looked for and not found."""
    found: dict[str, float] = {}
    for each in sorted(seen, key=lambda one: one.on):
        if each.part == "stem" and (today - each.on).days <= STEM_SEEN_D:
            rusty = bool(each.rusted) or each.amount in ("some", "many", "first")
            found[each.planting] = STEM_SEEN_FRAC if rusty else STEM_FRAC
    return found

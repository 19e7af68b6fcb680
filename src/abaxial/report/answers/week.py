"""The answer of `abaxial week`: everything its page says, as frozen values. Pages fill in nothing else."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from abaxial.provenance import Passport
from abaxial.report.answers.plan import Plan
from abaxial.report.answers.reason import Band, DateBand, Reason

__all__ = [
    "Band", "DateBand", "DayEstimate", "Estimate", "Forecast", "Infection", "Learned", "Look", "Night", "Origin",
    "PastForecasts", "PlantingWeek", "Reason", "RemedyMark", "SoilWater", "Task", "WeekAnswer", "WhatIf",
]  # fmt: skip


@dataclass(frozen=True)
class Night:
    """One garden day (noon to noon), named by the date of its evening.

    wet_h_lower, wet_h_upper : hours with water on the leaf at that level [h]. infection_frac : if spores were about, the
    share of those on the leaf that got in, 0 to 1. chance_frac : share of draws in which the night lets in enough to
    matter. ahead : not yet lived.
    """

    day: date
    wet_h_lower: Band
    wet_h_upper: Band
    rain_mm: Band
    infection_frac: Band
    chance_frac: float
    ahead: bool


@dataclass(frozen=True)
class Infection:
    """What one night may have let in, and how far it has come.

    rise : for the days after the night, 0, 1, 2 …: latent progress as a band; 1 is the middle of showing.
    showing : when half its pustules are open. first_showing : when the first tenth is. latent_frac : share of it not yet
    showing today. leaves : ranks from the youngest open leaf downward (1 is the youngest) that were open that night and
    still hang on the plant; None where all of them are gone.
    """

    night: date
    infection_frac: Band
    chance_frac: float
    rise: tuple[Band, ...]
    first_showing: DateBand
    showing: DateBand
    latent_frac: Band
    leaves: tuple[int, int] | None


@dataclass(frozen=True)
class WhatIf:
    """One change of habit over the same nights. Hours and infections per week, over window_days.

    change : "as_now", "water_at_dawn_on_soil", "low_leaves_off", "wider_spacing", "more_sun".
    gain_frac : share of infection avoided, can be negative. possible : False where the habit is already so.
    """

    change: str
    wet_h_per_week: Band
    infection_per_week: Band
    gain_frac: Band
    possible: bool
    window_days: int


@dataclass(frozen=True)
class SoilWater:
    """Water within reach of the roots. available_frac : of what the soil can hold for plants, 0 to 1. dry_in_days : days
    until plants feel it without rain or water; None beyond a fortnight."""

    available_frac: float
    dry_in_days: int | None
    last_watering_mm: float


@dataclass(frozen=True)
class Look:
    """One look at one planting on a walk.

    part : "lower", "upper", "stem" or "any". amount : "counted", or of an uncounted look "none", "some", "many" or
    "first" (the first pustules of the season). turned, rusted : leaves; None where not counted. incidence : share of
    leaves with rust as this look alone gives it; None where not counted. severity_frac : share of leaf area; None where
    not judged.
    """

    on: date
    part: str
    amount: str
    turned: int | None
    rusted: int | None
    incidence: Band | None
    severity_frac: float | None


@dataclass(frozen=True)
class DayEstimate:
    """One garden day of one planting, all its attached leaves taken together.

    showing_frac : share of leaf area with pustules or the dead tissue they left. latent_frac : share infected and not
    showing. incidence_frac : share of leaves on which rust shows. ahead : not yet lived, with nothing done.
    """

    day: date
    showing_frac: Band
    latent_frac: Band
    incidence_frac: Band
    ahead: bool


@dataclass(frozen=True)
class Forecast:
    """What is to be expected on one day with nothing done.

    what : "showing_frac", "latent_frac", "incidence_frac", or "seen_frac": the share of turned leaves on which a walk
    would find rust. part : "all", "lower" or "upper". quantiles : value by share of the estimate that lies below it, as
    text such as "0.05".
    """

    day: date
    part: str
    what: str
    quantiles: Mapping[str, float]


@dataclass(frozen=True)
class Origin:
    """Where the spores of the last three weeks' infections came from: shares that add up to one in every version."""

    own_frac: Band
    neighbours_frac: Band
    outside_frac: Band


@dataclass(frozen=True)
class Estimate:
    """What was seen and what is therefore probably there, for one planting.

    days : from four weeks back to six weeks ahead. showing_frac, latent_frac : today, of attached leaf area.
    hidden_per_seen : latent area for each part of showing area; None where next to nothing shows. any_rust_frac :
    chance that there is any rust in it, hidden or showing. worse_frac : chance that more shows in a fortnight than today.
    looks : every look at it, oldest first. moved : what moved the estimate (walks, nights), most important first.
    against : looks that the model finds hard to believe.
    """

    days: tuple[DayEstimate, ...]
    showing_frac: Band
    latent_frac: Band
    hidden_per_seen: Band | None
    any_rust_frac: float
    worse_frac: float
    forecasts: tuple[Forecast, ...]
    origin: Origin | None
    looks: tuple[Look, ...]
    moved: tuple[Reason, ...]
    against: tuple[Reason, ...]


@dataclass(frozen=True)
class Learned:
    """One unknown of the garden, before and after what was seen.

    name : as in assimilation.unknowns. of : the rust or the planting it belongs to; "" for the whole garden. unit : as in
    docs/words.toml, "" for a factor or share.
    """

    name: str
    of: str
    prior: Band
    posterior: Band
    unit: str


@dataclass(frozen=True)
class PastForecasts:
    """How what was expected before each walk has fared.

    looks : with leaves counted. crps_frac : mean error of the forecast (its ranked probability score), as a share of the
    leaves turned. brier : mean squared error of the chance that any rust would be found. compared : looks with an earlier
    one at the same part; compared_crps_frac, last_look_frac : on these, our error and that of taking the look before.
    """

    looks: int
    crps_frac: float
    brier: float
    compared: int
    compared_crps_frac: float
    last_look_frac: float


@dataclass(frozen=True)
class RemedyMark:
    """Something done about rust, as the figure shows it.

    kind : one of plan.programmes.step.KINDS. bottle : the gardener's name for it, "" where there was none. until : the last day on which it keeps rust
    out; None for what only takes leaves away. cures : whether it reaches what is in the leaf and does not show.
    """

    on: date
    kind: str
    bottle: str
    until: date | None
    cures: bool


@dataclass(frozen=True)
class PlantingWeek:
    """One planting's week.

    latent_nights : what is latent now, in nights of full infection "if spores were about". look_days : the two days on
    which to turn leaves; None where nothing is due. look_leaves : ranks from the youngest open leaf.
    next_week_chance_frac : chance that at least one of the next seven nights lets in enough to matter.
    borrowed : parameters come from related fungi. reasons : why, most important first. card : one sentence of what is
    going on and how sure that is. estimate : what is probably there, from weather and from what was seen. remedies : what
    was done about it lately, oldest first.
    """

    planting: str
    bed: str
    host_name: str
    rust_name: str
    clumps: int
    borrowed: bool
    headline: Reason
    nights: tuple[Night, ...]
    infections: tuple[Infection, ...]
    latent_nights: Band
    next_showing: DateBand | None
    look_days: tuple[date, date] | None
    look_leaves: tuple[int, int] | None
    next_week_chance_frac: float
    what_if: tuple[WhatIf, ...]
    soil: SoilWater
    reasons: tuple[Reason, ...]
    card: Reason | None = None
    estimate: Estimate | None = None
    remedies: tuple[RemedyMark, ...] = ()


@dataclass(frozen=True)
class Task:
    """One thing to do. kind : "turn_leaves", "water_at_dawn_on_soil", "low_leaves_off", "wider_spacing", "more_sun",
    "water_soil", "write_down_rain". days : the one or two days to do it. minutes : how long it takes."""

    kind: str
    plantings: tuple[str, ...]
    days: tuple[date, ...]
    minutes: int
    why: Reason


@dataclass(frozen=True)
class WeekAnswer:
    """The whole page.

    headline : the one line that matters. tasks : at most three. unknown : what cannot be known and the one line that
    would change that. weather_until : last lived hour with weather, as text. outlook_from : where the forecast ends.
    past : how forecasts have fared; None before leaves were counted.
    learned : this garden's own numbers, before and after what was seen. effective_versions : how many equally likely
    versions the estimate is worth. plan : what to do and why; None where nobody asked for one.
    """

    garden: str
    invented: bool
    today: date
    headline: Reason
    tasks: tuple[Task, ...]
    plantings: tuple[PlantingWeek, ...]
    unknown: tuple[Reason, ...]
    weather_until: str
    forecast_until: str
    draws: int
    members: int
    sources: tuple[str, ...]
    passport: Passport
    learned: tuple[Learned, ...] = ()
    effective_versions: float = 0.0
    past: PastForecasts | None = None
    plan: Plan | None = None

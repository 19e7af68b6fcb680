"""When a clump may be divided. No look makes it clean; time, rain, looks and the estimate together make it fit to divide."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.collection.clock import Floats, runs_out_day, share_day
from abaxial.errors import RequestError
from abaxial.provenance import Parameter, read_parameters, read_table
from abaxial.scouting import sampling

LIMITS: Mapping[str, tuple[float, float]] = {
    "periods": (0.5, 10.0),
    "after_wet_periods": (0.5, 10.0),
    "sure_frac": (0.5, 1.0),
    "confidence_frac": (0.5, 0.9999),
    "incidence_frac": (0.001, 1.0),
    "efficacy_frac": (0.05, 1.0),
    "most_any_rust_frac": (0.0, 1.0),
    "trace_periods": (0.5, 10.0),
}
_FILE = Path(__file__).parent / "clean.toml"


class Looked(NamedTuple):
    """One look at the clump. turned, rusted : leaves."""

    day: int
    turned: int
    rusted: int


class Case(NamedTuple):
    """What is known of a clump.

    progress : (days, members) latent periods passed by the start of each day, days to come included. wet : (days,) whether a
    wet spell long enough to infect, or rain, fell on it. now_day : today. set_day : the day from which it is watched: it
    came, rust was last seen on it, or it was last exposed. looks : at any time. leaves : on the clump, 1 or more.
    any_rust_frac : chance that it has rust, hidden included, by the estimate; None where there is no estimate.
    lasting : virus or bud rot on it or its parents.
    """

    progress: Floats
    wet: NDArray[np.bool_]
    now_day: int
    set_day: int
    looks: tuple[Looked, ...]
    leaves: int
    any_rust_frac: float | None
    lasting: bool = False


@dataclass(frozen=True)
class Bars:
    """What is asked of a clump, by name; see the file for what each means."""

    numbers: Mapping[str, Parameter]

    def __getitem__(self, name: str) -> float:
        """The central value of a bar."""
        return self.numbers[name].value


class Reason(NamedTuple):
    """Why not. kind : "lasting_disease", "rust_seen", "too_soon", "no_rain_since", "rain_too_young", "too_few_leaves",
    "no_estimate" or "chance_of_rust". needed, found : in the kind's own unit, NaN where it has none."""

    kind: str
    needed: float
    found: float


class Verdict(NamedTuple):
    """Whether a clump may be divided today; never whether it is clean.

    reasons : empty exactly where it may. first_day : the first on which time and rain will do; infinite where that lies beyond
    the days given, or a disease lasts. leaves_needed : to turn then or later, free of rust. any_rust_frac : what chance of
    rust remains.
    """

    allowed: bool
    reasons: tuple[Reason, ...]
    first_day: float
    leaves_needed: int
    any_rust_frac: float | None


def may_divide(case: Case, bars: Bars | None = None) -> Verdict:
    """Whether a clump may be divided today, why not, and when.

    bars : ours where None. It must have been free of rust for some latent periods, with rain early enough for what it let in
    to show; enough leaves must have been turned after that; and the estimate must hold rust to be unlikely. Looks alone,
    however many, never suffice. Raises RequestError where the case does not hold together.
    """
    bars = read_bars() if bars is None else bars
    _refuse(case)
    rusted = [look.day for look in case.looks if look.rusted and look.day <= case.now_day]
    set_day = max([case.set_day, *rusted])
    sure = bars["sure_frac"]
    period_day = share_day(runs_out_day(case.progress, set_day, bars["periods"]), sure)
    rain_day = _rain_day(case, set_day, bars)
    first_day = np.inf if case.lasting else max(period_day, rain_day, case.now_day)
    needed = leaves_needed(case.leaves, bars)
    turned = sum(look.turned for look in case.looks if max(period_day, rain_day) <= look.day <= case.now_day)
    reasons = [
        *_disease(case, rusted),
        *_waiting(case, set_day, (period_day, rain_day), bars),
        *([Reason("too_few_leaves", needed, turned)] if turned < needed else []),
        *_doubt(case, bars),
    ]
    return Verdict(not reasons, tuple(reasons), float(first_day), needed, case.any_rust_frac)


def leaves_needed(leaves: int, bars: Bars) -> int:
    """Leaves of a clump to turn so that rust on a share of them would have been found.

    leaves : on the clump, 1 or more. Where one look at every leaf is not enough, because looks overlook, leaves are turned
    again on another day. Source: ispm31, through scouting.
    """
    rusted = max(1, sampling.rusted_units(leaves, bars["incidence_frac"]))
    terms = {"confidence_frac": bars["confidence_frac"], "efficacy_frac": bars["efficacy_frac"]}
    found = sampling.units_to_find_in_bed(bed_units=leaves, rusted_units=rusted, **terms)
    return sampling.units_to_find(rusted / leaves, **terms) if found is None else found


@cache
def read_bars() -> Bars:
    """Our bars. Raises ParameterError where their file breaks a rule."""
    return Bars(read_parameters(read_table(_FILE).get("parameters"), limits=LIMITS, rising=(), path=_FILE))


def _rain_day(case: Case, set_day: int, bars: Bars) -> float:
    """Day by which what the first rain since let in would show, infinite where none fell."""
    rain = np.flatnonzero(case.wet[set_day:]) + set_day
    if not rain.size:
        return np.inf
    return share_day(runs_out_day(case.progress, int(rain[0]), bars["after_wet_periods"]), bars["sure_frac"])


def _disease(case: Case, rusted: list[int]) -> list[Reason]:
    reasons = [Reason("lasting_disease", np.nan, np.nan)] if case.lasting else []
    looked = [look for look in case.looks if look.day <= case.now_day]
    latest = max((look.day for look in looked), default=-1)
    if rusted and max(rusted) == latest:
        reasons.append(Reason("rust_seen", np.nan, latest))
    return reasons


def _waiting(case: Case, set_day: int, days: tuple[float, float], bars: Bars) -> list[Reason]:
    period_day, rain_day = days
    reasons = []
    if period_day > case.now_day:
        passed = case.progress[case.now_day] - case.progress[set_day]
        reasons.append(Reason("too_soon", bars["periods"], _surely(passed, bars)))
    rain = np.flatnonzero(case.wet[set_day : case.now_day + 1]) + set_day
    if not rain.size:
        reasons.append(Reason("no_rain_since", np.nan, set_day))
    elif rain_day > case.now_day:
        passed = case.progress[case.now_day] - case.progress[rain[0]]
        reasons.append(Reason("rain_too_young", bars["after_wet_periods"], _surely(passed, bars)))
    return reasons


def _doubt(case: Case, bars: Bars) -> list[Reason]:
    if case.any_rust_frac is None:
        return [Reason("no_estimate", bars["most_any_rust_frac"], np.nan)]
    if case.any_rust_frac > bars["most_any_rust_frac"]:
        return [Reason("chance_of_rust", bars["most_any_rust_frac"], case.any_rust_frac)]
    return []


def _surely(passed: Floats, bars: Bars) -> float:
    """Latent periods that have passed in all but the slowest of the members."""
    needed = int(np.ceil(bars["sure_frac"] * passed.size - 1e-9))
    return float(np.sort(passed)[::-1][needed - 1])


def _refuse(case: Case) -> None:
    if not 0 <= case.set_day <= case.now_day < len(case.progress) or len(case.wet) != len(case.progress):
        raise RequestError(
            f"Watched from day {case.set_day}, now day {case.now_day}, of {len(case.progress)} days with progress and "
            f"{len(case.wet)} with rain: these do not fit.",
            remedy="Give as many days of both, and days among them.",
        )
    if case.leaves < 1:
        raise RequestError(f"The clump has {case.leaves} leaves.", remedy="A clump without leaves shows nothing: wait.")
    for look in case.looks:
        if not 0 <= look.rusted <= look.turned:
            raise RequestError(
                f"{look.rusted} of {look.turned} leaves rusted cannot be.", remedy="Give leaves turned, and rusted among them."
            )  # fmt: skip
    if case.any_rust_frac is not None and not 0.0 <= case.any_rust_frac <= 1.0:
        raise RequestError(f"A chance of {case.any_rust_frac:g} is none.", remedy="It lies between 0 and 1.")

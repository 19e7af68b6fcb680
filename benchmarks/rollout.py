"""Many courses of every planting against frozen neighbours: compiled, against the same courses in NumPy, in one run.

30 plantings with 40 courses each, 256 versions, 42 days of the demo garden's nights; every course has a shield, a cure,
leaves picked and leaves cut on days of its own. NumPy takes all courses of a planting at once; it is measured on two
plantings and multiplied.
"""

import numpy as np
from numpy.typing import NDArray

from abaxial import chance
from abaxial.epidemic import rollout, simulate
from abaxial.epidemic.kernel import Rows, Span
from abaxial.epidemic.rollout import Base, Courses
from benchmarks import epidemic as season_bench
from benchmarks import epidemic_twin
from benchmarks.leaf_wetness import best_of

PLANTINGS, COURSES, VERSIONS, FIRST_DAY, DAYS, SOME = 30, 40, 256, 120, 42, 2


def make_base() -> Base:
    """The demo garden in the middle of its season, run as it stands."""
    season = season_bench.make_season(season_bench.demo_garden())
    versions = season_bench.some_versions(season, VERSIONS)
    state = simulate.clean(season, VERSIONS)
    simulate.run(season, versions, state, first_day=0, end_day=FIRST_DAY, record_days=[FIRST_DAY - 1])
    return rollout.baseline(season, versions, state, FIRST_DAY, FIRST_DAY + DAYS)


def make_courses(base: Base, planting: int) -> Courses:
    """Courses that each do something else; the first does nothing."""
    courses = rollout.unchanged(base, planting, COURSES)
    day = (DAYS * chance.uniforms(planting, "bench/day", 0, COURSES)).astype(int)
    how = chance.uniforms(planting, "bench/how", 0, COURSES)
    for row in range(1, COURSES):
        since = day[row]
        fading = 3.0 * how[row] * np.exp(-0.1 * np.arange(DAYS - since))
        courses.remedies.shield[row, :, :, since:] = fading
        courses.remedies.cure[row, since], courses.remedies.reach_frac[row, since] = 2.0 * how[row], 0.3
        courses.remedies.picked_frac[row, :, since // 2], courses.remedies.left_frac[row] = how[row], row % 2
        courses.leaves.cut_frac[row, 0, (since + 20) % DAYS] = 0.5 * how[row]
    return courses


def ours(base: Base, courses: list[Courses]) -> Rows:
    """Healthy leaf area over the days, (plantings, courses, versions)."""
    return np.stack([rollout.roll_out(base, place, each).healthy_area_d for place, each in enumerate(courses)])


def numpy_courses(base: Base, planting: int, courses: Courses) -> Rows:
    """The same for one planting in NumPy: a course is a planting by itself."""
    season, versions, count = base.season.drivers, base.versions, len(courses.leaves.unfolded)
    acts = simulate.acts_of(courses.leaves, courses.remedies, season, from_day=base.first_day)

    def alike(values: NDArray[np.generic]) -> NDArray[np.generic]:
        return np.broadcast_to(values[planting], (count, *values.shape[1:]))

    of_planting = (
        "infected_frac", "wet_reach_h", "alive_frac", "progress", "first_leaf_day", "own_frac", "far_frac", "neighbour",
        "neighbour_frac", "rust", "latent_stages",
    )  # fmt: skip
    drivers = season._replace(acts=acts, **{name: alike(getattr(season, name)) for name in of_planting})
    own = versions._replace(**{name: alike(getattr(versions, name)) for name in ("start_frac", "vigour", "luck")})
    span = Span(base.first_day, base.end_day, np.full(base.season.days, -1))
    state = alike(base.state).copy()
    sums = epidemic_twin.run_days(state, np.zeros((0,), np.float32), drivers, own, span, base.near[planting])
    return sums.healthy_area_d[:, np.argsort(base.order)]


def measure() -> dict[str, float]:
    """Seconds of all roll-outs, of the base and of NumPy, their ratio, and how far the two are apart at most."""
    base = make_base()
    courses = [make_courses(base, planting) for planting in range(PLANTINGS)]
    found = ours(base, courses)
    taken = best_of(5, lambda: ours(base, courses))
    begin = best_of(3, lambda: rollout.baseline(base.season, base.versions, base.state, base.first_day, base.end_day))
    peers: list[Rows] = []
    peer = best_of(1, lambda: peers.extend(numpy_courses(base, place, courses[place]) for place in range(SOME)))
    apart = float(np.abs(np.stack(peers[:SOME]) - found[:SOME]).max())
    whole = peer * PLANTINGS / SOME
    return {
        "rollouts_s": taken,
        "base_s": begin,
        "numpy_s": whole,
        "times_numpy": whole / taken,
        "apart_area_d": apart,
        "largest_area_d": float(found.max()),
    }


if __name__ == "__main__":
    print("  ".join(f"{name} {value:.4g}" for name, value in measure().items()))

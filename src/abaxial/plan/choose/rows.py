"""The problem as a mixed-integer programme: columns, rows, and a choice as a point of it.

Columns, in this order: x of each candidate; then for every bottle and week in which some candidate applies it, u (whether)
and m (mixes); then for every code that counts, and week, y (whether) and e (whether that week ends its run). A run of a code
is limited as exactly as it can be: of any k + 1 weeks, k the longest run allowed,

    Σ y over those weeks − Σ e over the weeks between the first and the last ≤ k

and where r applications ran before the horizon, of any k + 1 − r weeks, with e from the first week on, ≤ k − r. A week ends
a run only if something else that does so is applied in it and this code is not.
"""

from dataclasses import dataclass, field
from itertools import combinations

import numpy as np

from abaxial.plan.choose import tally
from abaxial.plan.choose.problem import LEAST_L, Floats, Problem, Truths, Whole


@dataclass(frozen=True)
class Programme:
    """Least Σ cost · column with low ≤ rows ≤ high. start, index, value : the rows, one behind the other. upper : (columns,)
    all from 0 up. whole : (columns,) whether a whole number is asked for."""

    cost: Floats
    upper: Floats
    whole: Whole
    low: Floats
    high: Floats
    start: Whole
    index: Whole
    value: Floats


@dataclass(frozen=True)
class Columns:
    """Where the columns stand. used : pairs (week, bottle). of_use, of_code : first column of u and of y; m follows all u,
    and e follows all y. limited : codes that count."""

    used: tuple[tuple[int, int], ...]
    limited: tuple[int, ...]
    weeks: int
    of_use: int
    of_code: int

    def applied(self, week: int, bottle: int) -> int:
        """Column of u."""
        return self.of_use + self.used.index((week, bottle))

    def mixes(self, week: int, bottle: int) -> int:
        """Column of m."""
        return self.applied(week, bottle) + len(self.used)

    def coded(self, week: int, code: int) -> int:
        """Column of y."""
        return self.of_code + self.limited.index(code) * self.weeks + week

    def ends(self, week: int, code: int) -> int:
        """Column of e."""
        return self.coded(week, code) + len(self.limited) * self.weeks


@dataclass
class _Rows:
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)
    start: list[int] = field(default_factory=lambda: [0])
    index: list[Whole] = field(default_factory=list)
    value: list[Floats] = field(default_factory=list)

    def add(self, columns: Whole | list[int], values: Floats | list[float], low: float, high: float) -> None:
        if not (np.isinf(low) and np.isinf(high)) and len(columns):
            self.low.append(low)
            self.high.append(high)
            self.index.append(np.asarray(columns, np.int64))
            self.value.append(np.asarray(values, np.float64))
            self.start.append(self.start[-1] + len(columns))


def columns_of(problem: Problem) -> Columns:
    """Where the columns of a problem stand."""
    candidates, _, weeks, _ = problem.sizes
    used = np.argwhere((problem.offers.litres >= LEAST_L).any(axis=0))
    pairs = tuple((int(week), int(bottle)) for week, bottle in used)
    limited = tuple(int(code) for code in np.flatnonzero(problem.rotation.limited | ~_endless(problem)))
    return Columns(pairs, limited, weeks, candidates, candidates + 2 * len(pairs))


def written(problem: Problem, columns: Columns) -> Programme:
    """The mixed-integer programme of a problem."""
    rows = _Rows()
    _one_each(problem, rows)
    _uses(problem, columns, rows)
    _minutes(problem, columns, rows)
    _product(problem, columns, rows)
    _codes(problem, columns, rows)
    _runs(problem, columns, rows)
    _apart(problem, columns, rows)
    shelf, uses, coded = problem.shelf, len(columns.used), len(columns.limited) * columns.weeks
    bottles = np.array([bottle for _, bottle in columns.used], np.int64)
    most = np.array([problem.offers.litres[:, week, bottle].sum() for week, bottle in columns.used])
    whole = np.ones(columns.of_code + 2 * coded, np.int64)
    # y and e follow the rest, so that asking for whole numbers would only slow the search
    whole[columns.of_code :] = 0
    cost = np.concatenate([problem.offers.loss, np.zeros(uses), shelf.mixing_money[bottles], np.zeros(2 * coded)])
    upper = np.ones(whole.size)
    upper[columns.of_use + uses : columns.of_code] = np.ceil(most / shelf.tank_l[bottles])
    return Programme(
        cost, upper, whole, np.array(rows.low), np.array(rows.high), np.array(rows.start, np.int64),
        np.concatenate(rows.index), np.concatenate(rows.value),
    )  # fmt: skip


def point(problem: Problem, columns: Columns, picked: Whole) -> Floats:
    """A choice as a point of the programme, (columns,). picked : (plantings,), a choice that breaks no rule."""
    used = tally.total(problem, picked)
    applied, mixes = used.litres >= 0.5 * LEAST_L, tally.batches(problem, used)
    coded = np.asarray((applied[:, :, None] & problem.shelf.codes).any(axis=1))
    ending = np.asarray((coded & problem.rotation.breaking).any(axis=1))
    at = np.zeros(columns.of_code + 2 * len(columns.limited) * columns.weeks)
    at[np.unique(picked)] = 1.0
    for place, (week, bottle) in enumerate(columns.used):
        at[columns.of_use + place] = applied[week, bottle]
        at[columns.of_use + len(columns.used) + place] = mixes[week, bottle]
    for code in columns.limited:
        for week in range(columns.weeks):
            at[columns.coded(week, code)] = coded[week, code]
            at[columns.ends(week, code)] = ending[week] and not coded[week, code]
    return at


def _endless(problem: Problem) -> Truths:
    return np.asarray(np.isinf(problem.rotation.weeks_left))


def _one_each(problem: Problem, rows: _Rows) -> None:
    for planting in range(problem.sizes[1]):
        of_it = np.flatnonzero(problem.offers.covers[:, planting])
        rows.add(of_it, np.ones(of_it.size), 1.0, 1.0)


def _uses(problem: Problem, columns: Columns, rows: _Rows) -> None:
    """u is whether anybody applies the bottle; m holds the litres, and one mix at least where there are any."""
    offers, shelf = problem.offers, problem.shelf
    for week, bottle in columns.used:
        litres = offers.litres[:, week, bottle]
        users = np.flatnonzero(litres >= LEAST_L)
        use, mixes = columns.applied(week, bottle), columns.mixes(week, bottle)
        covered = offers.covers[users]
        for planting in np.flatnonzero(covered.any(axis=0)):
            of_it = users[covered[:, planting]]
            rows.add([*of_it, use], [*np.ones(of_it.size), -1.0], -np.inf, 0.0)
        rows.add([*users, use], [*np.ones(users.size), -1.0], 0.0, np.inf)
        rows.add([*users, mixes], [*litres[users], -shelf.tank_l[bottle]], -np.inf, 0.0)
        rows.add([use, mixes], [1.0, -1.0], -np.inf, 0.0)


def _minutes(problem: Problem, columns: Columns, rows: _Rows) -> None:
    offers, hours = problem.offers, problem.hours
    for week in range(columns.weeks):
        busy = np.flatnonzero(offers.minutes[:, week])
        mixed = [bottle for at, bottle in columns.used if at == week]
        rows.add(
            [*busy, *(columns.mixes(week, bottle) for bottle in mixed)],
            [*offers.minutes[busy, week], *problem.shelf.mixing_minutes[mixed]],
            -np.inf,
            hours.minutes[week],
        )
        for spraying, most in (
            (offers.spray_minutes[:, week].sum(axis=1), hours.open_minutes[week]),
            *((offers.spray_minutes[:, week, bottle], hours.bottle_minutes[week, bottle]) for bottle in mixed),
        ):
            out = np.flatnonzero(spraying)
            rows.add(out, spraying[out], -np.inf, most)


def _product(problem: Problem, columns: Columns, rows: _Rows) -> None:
    product, shelf = problem.offers.product.sum(axis=1), problem.shelf
    for bottle in sorted({bottle for _, bottle in columns.used}):
        users = np.flatnonzero(product[:, bottle])
        rows.add(users, product[users, bottle], -np.inf, min(shelf.stock[bottle], shelf.season_left[bottle]))
        weeks = [columns.applied(week, each) for week, each in columns.used if each == bottle]
        rows.add(weeks, np.ones(len(weeks)), -np.inf, shelf.weeks_left[bottle])


def _codes(problem: Problem, columns: Columns, rows: _Rows) -> None:
    """y is whether a code is applied; e at most whether something that ends its run is, and it is not."""
    codes, breaking = problem.shelf.codes, problem.rotation.breaking
    for code in columns.limited:
        others = breaking.copy()
        others[code] = False
        for week in range(columns.weeks):
            coded, ends = columns.coded(week, code), columns.ends(week, code)
            here = [bottle for at, bottle in columns.used if at == week]
            for bottle in here:
                if codes[bottle, code]:
                    rows.add([columns.applied(week, bottle), coded], [1.0, -1.0], -np.inf, 0.0)
            rows.add([ends, coded], [1.0, 1.0], -np.inf, 1.0)
            enders = [columns.applied(week, bottle) for bottle in here if (codes[bottle] & others).any()]
            rows.add([ends, *enders], [1.0, *(-np.ones(len(enders)))], -np.inf, 0.0)
        weeks = [columns.coded(week, code) for week in range(columns.weeks)]
        rows.add(weeks, np.ones(len(weeks)), -np.inf, problem.rotation.weeks_left[code])


def _runs(problem: Problem, columns: Columns, rows: _Rows) -> None:
    rotation, most = problem.rotation, problem.rotation.most_running
    for code in columns.limited:
        if not rotation.limited[code]:
            continue
        before = min(int(rotation.running[code]), most)
        sets = {(most + 1, False), (most + 1 - before, before > 0)}
        for size, from_before in sorted(sets):
            for weeks in combinations(range(columns.weeks), size):
                first = 0 if from_before else weeks[0]
                between = [week for week in range(first, weeks[-1]) if week not in weeks]
                at = [*(columns.coded(week, code) for week in weeks), *(columns.ends(week, code) for week in between)]
                rows.add(at, [*np.ones(size), *(-np.ones(len(between)))], -np.inf, size - 1.0)


def _apart(problem: Problem, columns: Columns, rows: _Rows) -> None:
    apart = problem.shelf.apart_weeks
    for place, (week, bottle) in enumerate(columns.used):
        for later, other in columns.used[place + 1 :]:
            if abs(later - week) < apart[bottle, other]:
                pair = [columns.applied(week, bottle), columns.applied(later, other)]
                rows.add(pair, [1.0, 1.0], -np.inf, 1.0)

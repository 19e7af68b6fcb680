"""The choice of a programme for every planting: a first plan at once, then better ones, with how far from the best they may be."""

import math
import time
from collections.abc import Callable
from typing import Any, NamedTuple

import highspy
import numpy as np
from highspy._core import _Highs

from abaxial.errors import FaultError
from abaxial.plan.choose import rows, tally
from abaxial.plan.choose.binding import Binding, binding, without
from abaxial.plan.choose.problem import Problem, Whole
from abaxial.plan.choose.rows import Programme
from abaxial.plan.choose.start import first_plan
from abaxial.plan.choose.tally import TOLERANCE

#: the part of the time that the first plan may take, and at most so many seconds
_FIRST_FRAC, _FIRST_S = 0.2, 0.9
#: objectives nearer than this are one [money]
_SAME_MONEY = 1e-7
#: when the solver has a better plan, and when it asks whether to go on
_BETTER = highspy.cb.HighsCallbackType.kCallbackMipImprovingSolution
_ASKED = highspy.cb.HighsCallbackType.kCallbackMipInterrupt


class Effort(NamedTuple):
    """How hard to try. gap_frac : at which it is good enough, 0 or more. seconds : after which the best so far is given."""

    gap_frac: float
    seconds: float


class Standing(NamedTuple):
    """How far the search has come. objective : loss of the best plan so far [money]. bound : below which no plan can come.
    gap_frac : of the objective, 0 where it is proved the best, infinite where nothing is known."""

    seconds: float
    objective: float
    bound: float
    gap_frac: float


class Choice(NamedTuple):
    """The programmes chosen.

    picked : (plantings,) candidate of each. objective : their loss with mixing [money]. bound : below which no choice can
    come. gap_frac : between the two, of the objective. idle : loss of doing nothing. binding : what stood in the way of more,
    the costliest first. seconds : it took. ended : "proved" (within the gap), "time", or "asked" (somebody stopped it).
    """

    picked: tuple[int, ...]
    objective: float
    bound: float
    gap_frac: float
    idle: float
    binding: tuple[Binding, ...]
    seconds: float
    ended: str


def choose(
    problem: Problem,
    effort: Effort,
    *,
    before: Whole | None = None,
    tell: Callable[[Standing], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Choice:
    """The choice with the least loss that breaks no rule.

    before : (plantings,) an earlier choice to begin from; forgotten where a rule forbids it now. tell : hears of the first plan
    and of every better one. stop : asked now and then whether to end with the best so far. The same problem gives the same
    choice, unless the time ran out or somebody stopped it.
    """
    begun = time.monotonic()
    search = _Search(problem, effort, begun, tell, stop)
    search.offer(first_plan(problem, seconds=min(_FIRST_FRAC * effort.seconds, _FIRST_S)))
    if before is not None:
        search.offer(before)
    ended = search.run()
    picked = search.picked
    return Choice(
        picked=tuple(int(each) for each in picked),
        objective=search.objective,
        bound=search.bound,
        gap_frac=gap_frac(search.objective, search.bound),
        idle=tally.objective_of(problem, problem.idle),
        binding=binding(problem, picked),
        seconds=time.monotonic() - begun,
        ended=ended,
    )


def cost_of_rule_money(problem: Problem, choice: Choice, kind: str, effort: Effort) -> float:
    """What all rules of a kind cost together [money, 0 or more], at least: by choosing again without them.

    choice : what was chosen with them. kind : one of `tally.KINDS`. The other plan is forgotten; it may break what it should not.
    """
    freed = choose(without(problem, kind), effort, before=np.array(choice.picked))
    return max(choice.objective - freed.objective, 0.0)


def gap_frac(objective: float, bound: float) -> float:
    """How far a plan may be from the best, of its own loss [0 and more]; infinite where nothing is known.

    objective : its loss [money]. bound : below which none can come.
    """
    apart = objective - bound
    if apart <= _SAME_MONEY * max(1.0, abs(objective)):
        return 0.0
    return apart / abs(objective) if objective != 0.0 else math.inf


class _Search:
    """The best choice so far and the bound, while the solver works."""

    def __init__(
        self,
        problem: Problem,
        effort: Effort,
        begun: float,
        tell: Callable[[Standing], None] | None,
        stop: Callable[[], bool] | None,
    ) -> None:
        self.problem, self.effort, self.begun, self.tell, self.stop = problem, effort, begun, tell, stop
        self.picked, self.objective = problem.idle, tally.objective_of(problem, problem.idle)
        self.bound, self.asked = _easy_bound(problem), False

    def offer(self, picked: Whole) -> None:
        """Take a choice where it is allowed and better than the one there is."""
        candidates, plantings, _, _ = self.problem.sizes
        fits = len(picked) == plantings and picked.min() >= 0 and picked.max() < candidates
        if not fits or not _allowed(self.problem, picked):
            return
        objective = tally.objective_of(self.problem, picked)
        if objective < self.objective - _SAME_MONEY * 1e-2 or self.picked is self.problem.idle:
            self.picked, self.objective = picked, objective
            self.say()

    def say(self) -> None:
        """Tell how far it has come."""
        if self.tell is not None:
            gap = gap_frac(self.objective, self.bound)
            self.tell(Standing(time.monotonic() - self.begun, self.objective, self.bound, gap))

    def run(self) -> str:
        """Let the solver work until it has proved its plan, time is over or somebody stops it. Answers which."""
        left_s = self.effort.seconds - (time.monotonic() - self.begun)
        if gap_frac(self.objective, self.bound) <= self.effort.gap_frac:
            return "proved"
        if left_s <= 0.0:
            return "time"
        if self.stop is not None and self.stop():
            return "asked"
        columns = rows.columns_of(self.problem)
        solver = _loaded(rows.written(self.problem, columns), self.effort.gap_frac)
        solver.setOptionValue("time_limit", max(self.effort.seconds - (time.monotonic() - self.begun), 0.01))
        self._listen(solver)
        at = highspy.HighsSolution()
        at.col_value = list(rows.point(self.problem, columns, self.picked))
        solver.setSolution(at)
        solver.run()
        found = solver.getInfo()
        self.bound = max(self.bound, min(float(found.mip_dual_bound), self.objective))
        if found.primal_solution_status == 2:
            self._take(np.asarray(solver.getSolution().col_value))
        self.bound = min(self.bound, self.objective)
        status = solver.getModelStatus()
        if status == highspy.HighsModelStatus.kInfeasible:
            raise FaultError("The solver finds no plan where doing nothing is one.")
        self.say()
        if self.asked:
            return "asked"
        return "proved" if status == highspy.HighsModelStatus.kOptimal else "time"

    def _take(self, at: np.ndarray) -> None:
        covers = self.problem.offers.covers
        chosen = np.flatnonzero(at[: covers.shape[0]] > 0.5)
        if (covers[chosen].sum(axis=0) == 1).all():
            self.offer(chosen[np.argmax(covers[chosen], axis=0)])

    def _listen(self, solver: _Highs) -> None:
        def hear(kind: object, _message: str, told: Any, answer: Any, _data: object) -> None:
            self.bound = max(self.bound, min(float(told.mip_dual_bound), self.objective))
            if kind == _BETTER:
                self._take(np.asarray(told.mip_solution))
            elif self.stop is not None and self.stop():
                self.asked = True
                answer.user_interrupt = True

        solver.setCallback(hear, None)
        solver.startCallback(_BETTER)
        solver.startCallback(_ASKED)


def _allowed(problem: Problem, picked: Whole) -> bool:
    covers = problem.offers.covers[picked]
    # every planting is covered by its own candidate, and by it alone
    once = problem.offers.covers[np.unique(picked)].sum(axis=0)
    if not (covers[np.arange(picked.size), np.arange(picked.size)].all() and (once == 1).all()):
        return False
    return bool((tally.room(problem, tally.total(problem, picked)) >= -TOLERANCE).all())


def _easy_bound(problem: Problem) -> float:
    """Every planting's least loss, as though nothing were shared; a joint loss is shared out evenly."""
    covers, loss = problem.offers.covers, problem.offers.loss
    share = loss / covers.sum(axis=1)
    return float(np.where(covers, share[:, None], np.inf).min(axis=0).sum())


def _loaded(programme: Programme, gap: float) -> _Highs:
    # the public class writes a banner on the screen before it can be told to be silent
    solver = _Highs()
    for name, value in (
        ("output_flag", False), ("mip_rel_gap", gap), ("mip_abs_gap", _SAME_MONEY), ("random_seed", 0), ("threads", 1),
        ("parallel", "off"), ("mip_feasibility_tolerance", 1e-7), ("primal_feasibility_tolerance", 1e-8),
    ):  # fmt: skip
        solver.setOptionValue(name, value)
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = programme.cost.size, programme.low.size
    lp.col_cost_, lp.col_lower_, lp.col_upper_ = programme.cost, np.zeros(programme.cost.size), programme.upper
    lp.row_lower_, lp.row_upper_ = programme.low, programme.high
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_, lp.a_matrix_.index_ = programme.start.astype(np.int32), programme.index.astype(np.int32)
    lp.a_matrix_.value_ = programme.value
    kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
    lp.integrality_ = [kinds[each] for each in programme.whole]
    if solver.passModel(lp) == highspy.HighsStatus.kError:
        raise FaultError("The solver does not take the plan's programme.")
    return solver

"""The plan of a garden: of all that may come, the best that no rule refuses, chosen for all plantings together."""

import time
from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.epidemic import rollout
from abaxial.epidemic.rollout import Outcome
from abaxial.plan.choose import problem as problems
from abaxial.plan.choose import solve
from abaxial.plan.choose.problem import Offers, Problem
from abaxial.plan.choose.solve import Choice, Effort, Standing
from abaxial.plan.proposal import giving_way
from abaxial.plan.proposal.giving_way import Against
from abaxial.plan.proposal.prospect import Ask, Prospect, Rolled, rolled, shared_row

Floats = NDArray[np.float64]
#: choices that the rules may send back before everything out of a bottle gives way
MOST_AGAIN = 60
#: the least part of the time that each choice has
_LEAST_FRAC = 0.1


class Proposed(NamedTuple):
    """The plan. own : how many of each planting's programmes are its own. chosen : (plantings,) row of each prospect.
    problem : as it was chosen in; kept : which of all candidates are in it. choice : from the solver; its bound holds for every plan that the rules allow.
    joint_losses : (joint programmes, versions). joint_taken : which of them were. outcome : (plantings, versions) with
    all chosen programmes done at once. waiting : with nothing done. again : how often a rule sent a choice back."""

    prospects: tuple[Prospect, ...]
    own: tuple[int, ...]
    chosen: tuple[int, ...]
    problem: Problem
    kept: NDArray[np.int64]
    choice: Choice
    joint_losses: Floats
    joint_taken: tuple[int, ...]
    outcome: Outcome
    waiting: Outcome
    again: int = 0


class _Picked(NamedTuple):
    problem: Problem
    choice: Choice
    kept: NDArray[np.int64]
    candidates: tuple[int, ...]


def propose(
    ask: Ask,
    effort: Effort,
    *,
    against: Against = giving_way.nothing,
    tell: Callable[[Standing], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Proposed:
    """The plan that costs least of those that nothing stands against.

    against : what the rules refuse of one programme for each planting, once all of it is counted; nothing where nothing is
    sprayed. tell, stop : as in `solve.choose`.
    """
    of, begun = rolled(ask), time.monotonic()
    kept, bound, again = np.ones(of.offers.loss.size, np.bool_), -np.inf, 0
    while True:
        left_s = max(effort.seconds - (time.monotonic() - begun), _LEAST_FRAC * effort.seconds)
        picked = _pick(ask, of, kept, effort._replace(seconds=left_s), (tell, stop))
        # whatever gives way, no plan is better than the first choice could have been
        bound = picked.choice.bound if again == 0 else min(bound, picked.choice.objective)
        chosen = _rows(ask, of, picked.candidates)
        refused = against([each.programmes[row] for each, row in zip(of.prospects, chosen, strict=True)])
        if not refused:
            break
        again += 1
        kept &= giving_way.kept(of, chosen, refused) if again < MOST_AGAIN else giving_way.without_sprays(of)
    gap = solve.gap_frac(picked.choice.objective, bound)
    choice = picked.choice._replace(bound=bound, gap_frac=gap, seconds=time.monotonic() - begun)
    return _proposed(ask, of, picked._replace(choice=choice), again)


def _pick(
    ask: Ask,
    of: Rolled,
    kept: NDArray[np.bool_],
    effort: Effort,
    ears: tuple[Callable[[Standing], None] | None, Callable[[], bool] | None],
) -> _Picked:
    """The choice among candidates that are kept."""
    some = np.flatnonzero(kept)
    offers = Offers(*(getattr(of.offers, name)[some] for name in Offers.__dataclass_fields__))
    problem = problems.set_out(offers, ask.stock, ask.hours, ask.rotation)
    choice = solve.choose(problem, effort, tell=ears[0], stop=ears[1])
    return _Picked(problem, choice, some, tuple(int(some[each]) for each in choice.picked))


def _rows(ask: Ask, of: Rolled, candidates: Sequence[int]) -> tuple[int, ...]:
    """From candidates to rows of the prospects."""
    total = of.first[-1]
    return tuple(
        each - of.first[place] if each < total else shared_row(ask, of.own, place, each - total)
        for place, each in enumerate(candidates)
    )


def _proposed(ask: Ask, of: Rolled, picked: _Picked, again: int) -> Proposed:
    chosen = _rows(ask, of, picked.candidates)
    joint = [each.sum(axis=0) for each in of.joint_losses]
    return Proposed(
        prospects=of.prospects,
        own=of.own,
        chosen=chosen,
        problem=picked.problem,
        kept=picked.kept,
        choice=picked.choice,
        joint_losses=np.stack(joint) if joint else np.zeros((0, 0)),
        joint_taken=tuple(sorted({each - of.first[-1] for each in picked.candidates if each >= of.first[-1]})),
        outcome=rollout.together(ask.base, rollout.joined([each.courses for each in of.prospects], chosen)),
        waiting=ask.base.outcome,
        again=again,
    )


__all__ = ["MOST_AGAIN", "Ask", "Proposed", "propose"]

"""What of a choice gives way where a rule refuses it once everything is counted in order of time."""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from abaxial.plan.programmes.step import Programme, Step
from abaxial.plan.proposal.prospect import Rolled
from abaxial.plan.prospects.permit import Broken

#: from one programme for each planting to what is refused, in order of time
Against = Callable[[Sequence[Programme]], Sequence[Broken]]
Truths = NDArray[np.bool_]
#: kinds of refusal that hang on the whole garden; all others on what their planting has had
OF_THE_GARDEN = ("too_many_running", "too_much_alone", "too_much_of_a_code")


def nothing(_chosen: Sequence[Programme]) -> Sequence[Broken]:
    """Nothing stands against anything."""
    return ()


def kept(of: Rolled, chosen: Sequence[int], refused: Sequence[Broken]) -> Truths:
    """Which candidates stay, (candidates,). chosen : row of each planting. refused : one or more, the earliest first.

    What a planting has had refuses every programme of it that sprays the same up to that week, and so all of those go, which
    costs nothing that was allowed. What the garden has had refuses the turn: nobody takes that bottle in that week.
    """
    stay = np.ones(of.offers.loss.size, np.bool_)
    seen: set[int] = set()
    turns: list[Step] = []
    for place, step, reasons in refused:
        if place in seen:
            # what comes after something refused may be allowed without it
            continue
        seen.add(place)
        if any(each.kind not in OF_THE_GARDEN for each in reasons):
            begun = _sprays_until(of.prospects[place].programmes[chosen[place]], step.week)
            for candidate, programme in of.candidates(place):
                stay[candidate] &= _sprays_until(programme, step.week) != begun
        else:
            turns.append(step)
    for place in range(len(of.own)) if turns else ():
        for candidate, programme in of.candidates(place):
            stay[candidate] &= turns[0] not in programme.steps
    return stay


def without_sprays(of: Rolled) -> Truths:
    """Candidates with nothing out of a bottle, (candidates,); those no rule refuses."""
    return np.asarray((of.offers.litres <= 0.0).all(axis=(1, 2)))


def _sprays_until(programme: Programme, week: int) -> tuple[Step, ...]:
    return tuple(step for step in programme.sprays if step.week <= week)

"""The candidate programmes of one planting: leaf work, schedules, both together, and the ends."""

from collections.abc import Iterator
from itertools import product

from abaxial.plan.programmes.permitted import Permitted, keeps
from abaxial.plan.programmes.schedules import schedules
from abaxial.plan.programmes.step import ENDS, SPRAYS, WAIT, Programme, Step, in_order

#: what goes together with less crowding and less wetting, in the order in which practice has it
_TOGETHER = (
    ("rusted_leaves_off",),
    ("low_leaves_off", "thin", "water_at_the_foot"),
    ("low_leaves_off",),
    ("rusted_leaves_off", "water_at_the_foot"),
    ("rusted_leaves_off", "thin"),
    ("water_at_the_foot",),
    ("thin",),
)
#: weeks after which rusted leaves are gone through again
_AGAIN_WEEKS = 2


def programmes(permitted: Permitted, *, most: int) -> tuple[Programme, ...]:
    """The programmes of one planting that keep to what is permitted, waiting first, at most so many.

    most : 4 or more. Waiting, looking again and the ends are always among them; of the rest every kind of schedule comes
    before any is taken together with leaf work.
    """
    kept = list(dict.fromkeys([WAIT, *(each for each in _ends(permitted) if keeps(each, permitted))]))
    for each in _others(permitted):
        if len(kept) >= most:
            break
        if each not in kept and keeps(each, permitted):
            kept.append(each)
    return tuple(kept)


def _ends(permitted: Permitted) -> Iterator[Programme]:
    for kind in ("look", *ENDS):
        steps = _first(permitted, kind)
        yield in_order(
            [*steps, *(_first(permitted, "clear_litter", at=steps[0].week) if kind == "cut_down" and steps else ())]
        )


def _others(permitted: Permitted) -> Iterator[Programme]:
    work = [_leaf_work(permitted, kinds) for kinds in _TOGETHER]
    work = [each for each in dict.fromkeys(work) if each]
    spraying = schedules(permitted)
    yield from (in_order(each) for each in work)
    yield from (in_order(each) for each in spraying)
    # the foremost of both first, so that a short list holds some of everything
    pairs = sorted(product(range(len(work)), range(len(spraying))), key=lambda pair: (sum(pair), pair))
    yield from (in_order([*work[one], *spraying[other]]) for one, other in pairs)


def _leaf_work(permitted: Permitted, kinds: tuple[str, ...]) -> tuple[Step, ...]:
    """Each kind in its first week, rusted leaves again a while later; nothing where one of them is not permitted."""
    steps: list[Step] = []
    for kind in kinds:
        first = _first(permitted, kind)
        if not first:
            return ()
        steps += first
        act = permitted.act(first[0])
        if kind == "rusted_leaves_off" and act is not None:
            due = [week for week in act.weeks if week >= first[0].week + max(_AGAIN_WEEKS, act.every_weeks)]
            steps += [Step(week, kind) for week in due[:: max(_AGAIN_WEEKS, act.every_weeks)][: act.most - 1]]
    return tuple(steps)


def _first(permitted: Permitted, kind: str, *, at: int = 0) -> tuple[Step, ...]:
    """The first time something without a bottle may be done, from a week on."""
    assert kind not in SPRAYS
    weeks = [week for act in permitted.acts if act.kind == kind for week in act.weeks if week >= at]
    return (Step(weeks[0], kind),) if weeks else ()

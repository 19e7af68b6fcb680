"""A programme: what is done with one planting, week by week."""

from typing import NamedTuple

#: what may be done, with the least work first
KINDS = (
    "look", "water_at_the_foot", "low_leaves_off", "rusted_leaves_off", "thin", "oil", "fungicide", "cut_down",
    "clear_litter", "destroy",
)  # fmt: skip
#: what comes out of a bottle
SPRAYS = ("oil", "fungicide")
#: what leaves nothing standing that something else could be done with in the same week
ENDS = ("cut_down", "destroy")


class Step(NamedTuple):
    """One thing done. week : of the horizon, 0 the coming one. kind : one of KINDS. bottle : its key, or nothing."""

    week: int
    kind: str
    bottle: str = ""


class Programme(NamedTuple):
    """Everything done with one planting, in order. Nothing at all is waiting."""

    steps: tuple[Step, ...] = ()

    @property
    def sprays(self) -> tuple[Step, ...]:
        """The steps out of a bottle."""
        return tuple(step for step in self.steps if step.kind in SPRAYS)

    def now(self) -> tuple[Step, ...]:
        """What is to do in the coming week; the rest is looked at again before it is done."""
        return tuple(step for step in self.steps if step.week == 0)


WAIT = Programme()


def in_order(steps: list[Step] | tuple[Step, ...]) -> Programme:
    """The programme of some steps, by week and then by work."""
    return Programme(tuple(sorted(set(steps), key=lambda step: (step.week, KINDS.index(step.kind), step.bottle))))

"""The plan of a week: asked, chosen, held against every rule with all of it counted, and told."""

from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from dataclasses import replace
from typing import NamedTuple

from abaxial.assimilation.estimate import Posterior
from abaxial.plan.choose.solve import Effort, Standing
from abaxial.plan.proposal import propose
from abaxial.plan.proposal.propose import Proposed
from abaxial.plan.prospects import permit
from abaxial.report.answers.plan import Plan
from abaxial.season.asking import Asking
from abaxial.season.planning import ask, tell
from abaxial.season.planning.ask import Question
from abaxial.season.present import Present

#: how near the best is near enough, and for how long to try [s]
EFFORT = Effort(gap_frac=0.01, seconds=5.0)


class Trying(NamedTuple):
    """How the choice is tried. seconds : for how long, 0 or more. say, stop : tell and stop of `propose`. during : entered while it
    lasts."""

    seconds: float = EFFORT.seconds
    say: Callable[[Standing], None] | None = None
    stop: Callable[[], bool] | None = None
    during: AbstractContextManager[object] = nullcontext()


#: as long as usual, watched by nobody
USUAL = Trying()


def plan_of(now: Present, asked: Asking, told: Posterior, trying: Trying = USUAL) -> Plan:
    """What to do this week. Raises LabelError or RequestError for values of the gardener's that would loosen a rule."""
    question = ask.question_of(now, asked, told)
    effort = EFFORT._replace(seconds=trying.seconds)
    with trying.during:
        proposed = within_rules(question, effort, say=trying.say, stop=trying.stop)
    is_stopped = trying.stop is not None and trying.stop()
    ended = "asked" if is_stopped else proposed.choice.ended
    return replace(tell.told(question, proposed, told, asked.day), ended=ended, allowed_s=trying.seconds)


def within_rules(
    question: Question,
    effort: Effort = EFFORT,
    *,
    say: Callable[[Standing], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Proposed:
    """The best plan that no rule refuses, all of it counted in order of time. say, stop : tell and stop of `propose`."""
    return propose.propose(
        question.ask,
        effort,
        against=lambda chosen: permit.broken(chosen, question.standings, question.law, question.on),
        tell=say,
        stop=stop,
    )

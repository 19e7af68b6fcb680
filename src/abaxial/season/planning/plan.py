"""The plan of a week: asked, chosen, held against every rule with all of it counted, and told."""

from collections.abc import Callable

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


def plan_of(now: Present, asked: Asking, told: Posterior) -> Plan:
    """What to do this week. Raises LabelError or RequestError for values of the gardener's that would loosen a rule."""
    question = ask.question_of(now, asked, told)
    return tell.told(question, within_rules(question), told, asked.day)


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

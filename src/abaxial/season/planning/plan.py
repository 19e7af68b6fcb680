"""The plan of a week: asked, chosen, held against every rule once more, and told."""

from abaxial.assimilation.estimate import Posterior
from abaxial.errors import FaultError
from abaxial.plan.choose.solve import Effort
from abaxial.plan.programmes.step import Programme
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
#: a plan that a rule refuses once all of it is counted is chosen again without what was refused, so many times
_MOST_AGAIN = 40


def plan_of(now: Present, asked: Asking, told: Posterior) -> Plan:
    """What to do this week. Raises LabelError or RequestError for values of the gardener's that would loosen a rule."""
    question = ask.question_of(now, asked, told)
    return tell.told(question, within_rules(question), told, asked.day)


def within_rules(question: Question, effort: Effort = EFFORT) -> Proposed:
    """The best plan that no rule refuses, all of it counted in order of time."""
    without: list[tuple[int, Programme]] = []
    for _ in range(_MOST_AGAIN):
        found = propose.propose(question.ask, effort, without=without)
        chosen = [each.programmes[row] for each, row in zip(found.prospects, found.chosen, strict=True)]
        refused = permit.broken(chosen, question.standings, question.law, question.on)
        if not refused:
            return found
        # the latest of those that do not go together gives way
        place = refused[-1][0]
        without.append((place, chosen[place]))
    raise FaultError("No plan was found that every rule allows.", remedy="Please report this, with the garden.")

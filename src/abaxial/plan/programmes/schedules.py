"""When to spray what: each bottle by itself, and two of different codes in turn."""

from collections.abc import Iterator

from abaxial.label import rotation
from abaxial.plan.programmes.permitted import Act, Permitted
from abaxial.plan.programmes.step import SPRAYS, Step

Schedule = tuple[Step, ...]


def schedules(permitted: Permitted) -> tuple[Schedule, ...]:
    """Ways to spray over the horizon, those that keep it up first.

    Each bottle at its interval from its first week on, once, and a week later; then every two bottles of different codes in
    turn, one after each and two after each. Among bottles of the same codes only the first is taken into a rotation.
    """
    sprays = [
        act for act in permitted.acts if act.kind in SPRAYS and act.weeks and (permitted.light or act.kind != "oil")
    ]
    found: list[Schedule] = []
    for act in sprays:
        found.append(tuple(_alone(act, permitted, act.weeks[0])))
    leading = [act for place, act in enumerate(sprays) if not _alike(act, sprays[:place])]
    for times in (1, 2):
        for one in leading:
            found += [tuple(_in_turn(one, two, permitted, times)) for two in leading if two != one]
    for act in sprays:
        found.append((Step(act.weeks[0], act.kind, act.bottle),))
        later = [week for week in act.weeks if week > act.weeks[0]]
        if later:
            found.append(tuple(_alone(act, permitted, later[0])))
    return tuple(dict.fromkeys(found))


def _alike(act: Act, others: list[Act]) -> bool:
    return any(set(act.codes) == set(other.codes) and act.kind == other.kind for other in others)


def _alone(act: Act, permitted: Permitted, first: int) -> Iterator[Step]:
    most = act.most
    if not all(rotation.is_exempt(code) for code in act.codes):
        most = min(most, permitted.most_running)
    due, times = first, 0
    for week in act.weeks:
        if week >= due and times < most:
            yield Step(week, act.kind, act.bottle)
            due, times = week + act.every_weeks, times + 1


def _in_turn(one: Act, two: Act, permitted: Permitted, times: int) -> Iterator[Step]:
    """`times` applications of the one, as many of the other, and so on, each its own interval after the last."""
    used = {one: 0, two: 0}
    turn, done, due = one, 0, one.weeks[0]
    for week in range(permitted.weeks):
        if week < due or week not in turn.weeks or used[turn] >= turn.most:
            continue
        yield Step(week, turn.kind, turn.bottle)
        used[turn] += 1
        due, done = week + turn.every_weeks, done + 1
        if done == times:
            turn, done = (two, 0) if turn == one else (one, 0)

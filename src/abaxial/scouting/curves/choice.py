"""Which of several curves describes what was seen best, and whether two ways of judging agree."""

from collections.abc import Sequence
from dataclasses import dataclass

from numpy.typing import ArrayLike

from abaxial.errors import ScoutingError
from abaxial.scouting.curves.fit import METHODS, Fit, Unfitted, fit_curve, fit_line
from abaxial.scouting.curves.forms import FORMS


@dataclass(frozen=True)
class Choice:
    """The fit that leaves the least over on the scale seen.

    ranked : every fit that arrived, best first. agrees : whether the concordance on that scale chooses the same.
    lead_frac : by what share the second leaves more over than the first; 0 where there is no second.
    passed_over : what could not be judged: forms without a fit, and fits that did not arrive.
    """

    best: Fit
    ranked: tuple[Fit, ...]
    agrees: bool
    lead_frac: float
    passed_over: tuple[Fit | Unfitted, ...]


def fit_every(day: ArrayLike, seen_frac: ArrayLike, *, method: str) -> tuple[Fit | Unfitted, ...]:
    """All four forms fitted to the same visits, in the order of FORMS. method : of METHODS. Errors: see fit_line."""
    if method not in METHODS:
        raise ScoutingError(f"There is no way of fitting called {method!r}.", remedy=f"Known are {', '.join(METHODS)}.")
    fit = fit_line if method == "line" else fit_curve
    return tuple(fit(day, seen_frac, form=form) for form in FORMS)


def choose(fits: Sequence[Fit | Unfitted]) -> Choice | None:
    """The best of several fits to the same visits; None where none arrived.

    Judged on the scale seen: what is left over on a form's own straight scale cannot be compared with another's.
    """
    arrived = [each for each in fits if isinstance(each, Fit) and each.converged]
    if not arrived:
        return None
    ranked = tuple(sorted(arrived, key=lambda each: each.error_frac))
    nearest = max(arrived, key=lambda each: each.seen_concordance)
    first, second = ranked[0], ranked[min(1, len(ranked) - 1)]
    lead = 0.0 if first.error_frac == second.error_frac else second.error_frac / max(first.error_frac, 1e-15) - 1.0
    kept = {id(each) for each in arrived}
    return Choice(first, ranked, nearest is first, lead, tuple(each for each in fits if id(each) not in kept))

"""Whether flowers are open on plants or under them, as far as somebody looked of late."""

from collections.abc import Iterable
from datetime import date

from abaxial.garden.parts import Planting

#: how long what was seen of flowers is believed [d]: within two weeks buds open and weeds come into flower
BELIEVED_D = 14


def flowers_open(planting: Planting, today: date) -> bool | None:
    """Whether flowers are open on a planting or under it, weeds counted; None where nobody looked in the last 14 days.

    today : a date; what is dated after it is not looked at. What was seen last counts, and of one day the flowers.
    """
    seen = [(on, True) for on in planting.flowers_seen] + [(on, False) for on in planting.no_flowers_seen]
    of_late = [each for each in seen if 0 <= (today - each[0]).days <= BELIEVED_D]
    return max(of_late)[1] if of_late else None


def unseen_in(bed: str, plantings: Iterable[Planting], today: date) -> tuple[str, ...]:
    """Names of the plantings of a bed of which nobody has said of late whether flowers are open; arguments as below."""
    return tuple(each.name for each in plantings if each.bed == bed and flowers_open(each, today) is None)


def flowers_open_in(bed: str, plantings: Iterable[Planting], today: date) -> bool | None:
    """Whether flowers are open anywhere in a bed; None where that is not known of some planting and true of none.

    bed : its name. plantings : of the whole garden. today : as in `flowers_open`. A bed without plants has none open.
    """
    known = [flowers_open(each, today) for each in plantings if each.bed == bed]
    return True if True in known else None if None in known else False

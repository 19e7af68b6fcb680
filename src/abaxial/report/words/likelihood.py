"""Chance in words, with the number beside it: the likelihood scale of the IPCC (mastrandrea2010), counted in tenths."""


def likelihood(chance_frac: float) -> str:
    """The published word for a chance, 0 to 1.

    Source: mastrandrea2010, table 1 (bounds that touch go to the more cautious word).
    """
    if chance_frac >= 0.90:
        return "very likely"
    if chance_frac >= 0.66:
        return "likely"
    if chance_frac > 0.33:
        return "about as likely as not"
    return "unlikely" if chance_frac > 0.10 else "very unlikely"


def tenths(chance_frac: float) -> str:
    """A chance, 0 to 1, as a count in ten; the ends are never rounded to nothing or to all."""
    if chance_frac < 0.05:
        return "fewer than 1 in 10"
    if chance_frac >= 0.95:
        return "more than 9 in 10"
    return f"about {round_half_up(10 * chance_frac)} in 10"


def tenths_short(chance_frac: float) -> str:
    """The same for a narrow table: "7 in 10"."""
    return tenths(chance_frac).removeprefix("about ").replace("fewer than ", "< ").replace("more than ", "> ")


def likelihood_with_number(chance_frac: float) -> str:
    """Word and number together: "likely, about 7 in 10"."""
    return f"{likelihood(chance_frac)}, {tenths(chance_frac)}"


def nights_like_this(chance_frac: float) -> str:
    """A chance for one night as a count of such nights: "in 10 nights like this, about 7"."""
    if chance_frac < 0.05:
        return "in 10 nights like this, hardly one"
    if chance_frac >= 0.95:
        return "in 10 nights like this, nearly all"
    return f"in 10 nights like this, about {round_half_up(10 * chance_frac)}"


def round_half_up(number: float) -> int:
    """The nearest whole number; halves go up, as people count."""
    return int((number + 0.5) // 1)

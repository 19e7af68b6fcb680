"""What an estimate amounts to, in plain numbers: shares and forecasts, what the walks moved, what the garden taught."""

from abaxial.assimilation.outcome.learned import Taught, taught
from abaxial.assimilation.outcome.nights import CameIn, came_in
from abaxial.assimilation.outcome.shares import QUANTILES, Middle, Shares, middles, shares
from abaxial.assimilation.outcome.walks import Contradiction, Past, Swayed, alone, contradiction, past, strange, swayed

__all__ = [
    "QUANTILES", "CameIn", "Contradiction", "Middle", "Past", "Shares", "Swayed", "Taught",
    "alone", "came_in", "contradiction", "middles", "past", "shares", "strange", "swayed", "taught",
]  # fmt: skip

"""Words that must stay on one line: a number with its unit or month, a bracket with its insides."""

import re

from abaxial.report.words.dates import MONTHS

_AFTER_A_NUMBER = re.compile(rf"(\d) (?=(?:mm|in|hours?|°C|°F|m/s|mph|{'|'.join(MONTHS)})\b|%|°)")
_BRACKET = re.compile(r"\(\S{1,9}\)|\(\S+ to \S+\)")


def unbroken(text: str) -> str:
    """The text with spaces that do not break where a line should not."""
    joined = _AFTER_A_NUMBER.sub("\\1\u00a0", text).replace("in 10", "in\u00a010")
    return _BRACKET.sub(lambda found: _one_piece(found[0]), joined)


def _one_piece(text: str) -> str:
    return text.replace(" ", "\u00a0").replace("–", "\u2060–\u2060")

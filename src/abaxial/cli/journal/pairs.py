"""What a line of the command says as key=value, made the body of an entry."""

import re
import tomllib
from collections.abc import Mapping, Sequence
from difflib import get_close_matches

from abaxial.errors import RequestError

_KEY = re.compile(r"[A-Za-z][\w-]*(?:\.[A-Za-z][\w-]*)*")
_NUMBER = re.compile(r"[+-]?\d+(\.\d+)?([eE][+-]?\d+)?")
_WHOLE = re.compile(r"[+-]?\d+")
#: names whose value is text, also where it looks like a number
_TEXTS = (
    "planting", "bed", "name", "remedy", "material", "task", "text", "remark", "file", "folder", "host", "cultivar", "soil",
    "leaves", "rain", "level", "which", "sha256", "since", "at", "zone", "manner", "disposal", "left", "bought_on",
    "use_before", "rate", "registration", "certificate", "equipment", "purpose", "applicator", "growth_stage", "started",
    "ended", "reentry_until", "signal", "form", "kind", "density", "tank", "water", "most_product",
    "eppo_host", "eppo_pest",
)  # fmt: skip
_LISTS = ("plantings", "days", "codes", "actives", "sites", "sites_not", "pests", "protective", "never_with")
#: digits that every machine can hold
_MOST_DIGITS = 15


def body_of(pairs: Sequence[str], *, before: Mapping[str, object] | None = None) -> dict[str, object]:
    """A body from pairs such as rain_mm=12 or watering.manner=soil.

    before : a body to be changed; `key=` with nothing behind it then leaves a field out. Raises RequestError naming the
    pair.
    """
    body: dict[str, object] = _copy(before or {})
    seen = set()
    for pair in pairs:
        key, sign, text = pair.partition("=")
        key = key.strip().replace("-", "_")
        if not sign or not _KEY.fullmatch(key):
            raise RequestError(
                f"{pair!r} is not of the form key=value.",
                remedy='Write it like rain_mm=12 or planting="Quay cannas".',
                where=pair,
            )
        if key in seen:
            raise RequestError(f"{key} is given twice.", remedy="Give it once.", where=pair)
        seen.add(key)
        _put(body, key, text, pair, may_remove=before is not None)
    return body


def tucked(body: dict[str, object], fields: Sequence[str]) -> dict[str, object]:
    """A body with those of its fields that belong into its `details` put there, so that nobody need write details.NAME."""
    inner = {name: body.pop(name) for name in fields if name in body}
    if not inner:
        return body
    details = body.get("details", {})
    if not isinstance(details, dict):
        raise RequestError("details is no table.", remedy="Leave it out; write its fields by themselves.")
    return {**body, "details": {**details, **inner}}


def known_fields(body: Mapping[str, object], kind: str, fields: Sequence[str]) -> None:
    """Raise RequestError for a field that entries of a kind do not have, with the likeliest meant."""
    for name in body:
        if name not in fields:
            near = get_close_matches(name, fields, n=1, cutoff=0.6)
            meant = f"Did you mean {near[0]}? " if near else ""
            raise RequestError(
                f"{kind} has no field {name!r}.", remedy=f"{meant}Its fields are: {', '.join(fields)}.", where=name
            )


def _put(body: dict[str, object], key: str, text: str, pair: str, *, may_remove: bool) -> None:
    *tables, last = key.split(".")
    here = body
    for name in tables:
        inner = here.setdefault(name, {})
        if not isinstance(inner, dict):
            raise RequestError(f"{pair!r}: {name} is no table.", remedy=f"Write {name}=… or {key}=…, not both.")
        here = inner
    if not text.strip() and may_remove:
        here.pop(last, None)
        return
    here[last] = _value(last, text.strip(), pair)


def _value(name: str, text: str, pair: str) -> object:
    if text[:1] in ("[", "{"):
        return _toml(text, pair)
    if len(text) > 1 and text[0] == text[-1] == '"':
        return text[1:-1]
    if name in _LISTS:
        return [each.strip() for each in text.split(",") if each.strip()]
    if name in _TEXTS or sum(letter.isdigit() for letter in text) > _MOST_DIGITS:
        return text
    if _WHOLE.fullmatch(text):
        return int(text)
    if _NUMBER.fullmatch(text):
        return float(text)
    return {"true": True, "false": False}.get(text, text)


def _toml(text: str, pair: str) -> object:
    from abaxial.journal.canonical import plain

    try:
        return plain(tomllib.loads(f"value = {text}")["value"])
    except (tomllib.TOMLDecodeError, RecursionError):
        raise RequestError(
            f"{pair!r} cannot be read.",
            remedy='Write lists like ["one", "two"] and tables like { from_deg = 0, to_deg = 90 }.',
            where=pair,
        ) from None


def _copy(table: Mapping[str, object]) -> dict[str, object]:
    return {key: _copy(value) if isinstance(value, Mapping) else value for key, value in table.items()}

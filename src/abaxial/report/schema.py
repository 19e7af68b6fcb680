"""A JSON Schema from the frozen values themselves, so that the two cannot drift apart."""

import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from abaxial.provenance import Passport

Schema = dict[str, Any]

#: numbers may be null: missing is null, never a guess
_PLAIN: dict[object, Schema] = {
    str: {"type": "string"},
    int: {"type": "integer"},
    float: {"type": ["number", "null"]},
    bool: {"type": "boolean"},
    date: {"type": "string", "format": "date"},
    datetime: {"type": "string", "format": "date-time"},
    NoneType: {"type": "null"},
    object: {},
}


def envelope_schema(command: str, answer: object) -> Schema:
    """The schema of a command's envelope. answer : the frozen dataclass it carries, or several of them."""
    found: dict[str, Schema] = {}
    told = _schema(answer, found)
    error = _closed(dict.fromkeys(("kind", "message", "where", "remedy"), _PLAIN[str]))
    question = {
        "type": "object",
        "properties": {"kind": _PLAIN[str], "says": _PLAIN[str], "details": {"type": "object"}},
        "required": ["kind", "says", "details"],
    }
    properties: Schema = {
        "schema": {"const": f"abaxial/{command}/1"},
        "ok": _PLAIN[bool],
        "at": {"type": ["string", "null"]},
        "garden": {"type": ["string", "null"]},
        "answer": {"anyOf": [told, {"type": "null"}]},
        "questions": {"type": "array", "items": question},
        "passport": {"anyOf": [_schema(Passport, found), {"type": "null"}]},
        "error": {"anyOf": [error, {"type": "null"}]},
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"abaxial {command}",
        **_closed(properties),
        "required": [name for name in properties if name != "error"],
        "$defs": dict(sorted(found.items())),
    }


def schema_text(command: str, answer: object) -> str:
    """The schema as it stands in report/schemas."""
    return json.dumps(envelope_schema(command, answer), indent=2, ensure_ascii=False) + "\n"


def _schema(kind: Any, found: dict[str, Schema]) -> Schema:
    origin, inside = get_origin(kind), get_args(kind)
    if is_dataclass(kind) and isinstance(kind, type):
        return _reference(kind, found)
    if origin is tuple:
        return _tuple(inside, found)
    if origin in (Union, UnionType):
        return {"anyOf": [_schema(each, found) for each in inside]}
    if origin is not None and issubclass(origin, Mapping):
        return {"type": "object"}
    return _PLAIN[kind]


def _reference(kind: type, found: dict[str, Schema]) -> Schema:
    if kind.__name__ not in found:
        found[kind.__name__] = {}
        hints = get_type_hints(kind)
        properties = {each.name: _schema(hints[each.name], found) for each in fields(kind)}
        # fields are only ever added, so a reader must allow for more
        found[kind.__name__] = {**_closed(properties), "additionalProperties": True}
    return {"$ref": f"#/$defs/{kind.__name__}"}


def _tuple(inside: tuple[Any, ...], found: dict[str, Schema]) -> Schema:
    if inside[-1] is Ellipsis:
        return {"type": "array", "items": _schema(inside[0], found)}
    items = [_schema(each, found) for each in inside]
    return {"type": "array", "prefixItems": items, "minItems": len(items), "maxItems": len(items)}


def _closed(properties: Schema) -> Schema:
    return {"type": "object", "properties": properties, "required": list(properties)}

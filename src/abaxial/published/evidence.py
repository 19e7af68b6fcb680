"""The evidence page: which published numbers our functions give back, source by source."""

from collections.abc import Mapping

from abaxial.errors import FaultError
from abaxial.provenance import sources
from abaxial.published import Check, checks_in, values_in

_KNOWN = {
    "read": "read in the source, or in a text that quotes it",
    "memory": "recalled from the source and not read again",
    "practice": "common practice, no source",
}


def evidence_markdown() -> str:
    """The page as Markdown: a table of sources, then the calls of each."""
    checks = checks_in()
    keys = sorted({check.source for check in checks})
    by_source = {key: tuple(check for check in checks if check.source == key) for key in keys}
    lines = [
        "# Evidence",
        "",
        f"{values_in(checks)} published numbers from {len(keys)} sources are compared with what the code computes, each time the "
        "tests run. `abaxial check` does the same on your machine.",
        "",
        "How well we know a number is said beside it:",
        "",
        *(f"- **{status}**: {meaning}." for status, meaning in _KNOWN.items()),
        "",
        "A number worked independently from a printed equation checks that we compute the equation as it stands; it does not check "
        "that nature follows it.",
        "",
        "| source | what it is | numbers | how well known |",
        "|---|---|---:|---|",
        *(_row(key, of_source) for key, of_source in by_source.items()),
        "",
    ]
    for key, of_source in by_source.items():
        lines += [
            f"## {key}",
            "",
            reference(key),
            "",
            "| function | numbers | where | how well known |",
            "|---|---:|---|---|",
        ]
        lines += [
            f"| `{check.call}` | {values_in((check,))} | {check.where} | {check.status} |" for check in of_source
        ] + [""]
    return "\n".join(lines)


def reference(key: str) -> str:
    """A source as one line: authors, year, title, where. Raises FaultError if sources.toml lacks it."""
    if key == "practice":
        return "Common practice among growers; no source."
    entry: Mapping[str, str] | None = sources().get(key)
    if entry is None:
        raise FaultError(f"The source {key!r} is not in sources.toml.", remedy="Add it there.")
    return f"{entry['authors']} ({entry['year']}). {entry['title']}. {entry['where']}."


def _row(key: str, checks: tuple[Check, ...]) -> str:
    statuses = ", ".join(status for status in _KNOWN if any(check.status == status for check in checks))
    return f"| [{key}](#{key}) | {reference(key)} | {values_in(checks)} | {statuses} |"

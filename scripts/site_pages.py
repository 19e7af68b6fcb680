"""Builds the documentation: copies docs/, adds the pages that are made from the code, and checks every inner link."""

import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urldefrag

import click

ROOT = Path(__file__).resolve().parent.parent
SOURCE = ROOT / "build" / "site"
SITE = ROOT / "site"


def evidence() -> str:
    """The published check values with what we compute."""
    from abaxial.published.evidence import evidence_markdown

    return evidence_markdown()


def sources() -> str:
    """The bibliography, and which entries were read."""
    from abaxial.provenance import sources as bibliography

    lines = [
        "# Sources",
        "",
        "What stands behind the numbers. *Read*: the number was seen in the source or in something",
    ]
    lines += [
        "that quotes it. *From memory*: recalled, not seen again; a check against it tests our arithmetic only.",
        "",
    ]
    lines += ["| key | source | |", "|---|---|---|"]
    for key, entry in sorted(bibliography().items()):
        told = f"{entry['authors']} ({entry['year']}). {entry['title']}. {entry['where']}".replace("|", "\\|")
        lines.append(f"| `{key}` | {told} | {'read' if entry['status'] == 'read' else 'from memory'} |")
    return "\n".join(lines) + "\n"


def words() -> str:
    """The words of the trade with what screens say for them."""
    listed = tomllib.loads((ROOT / "docs" / "words.toml").read_text(encoding="utf-8"))
    lines = ["# Words", "", "| word | meaning | on screens | unit |", "|---|---|---|---|"]
    for word, entry in sorted(listed["word"].items(), key=lambda each: each[0].lower()):
        lines.append(f"| {word} | {entry['means']} | {entry['plain']} | {entry.get('unit', '').replace('1', '')} |")
    lines += ["", "Numbers in the code wear one of these endings:", "", "| ending | stands for |", "|---|---|"]
    lines += [f"| `_{unit}` | {meaning} |" for unit, meaning in listed["unit"].items()]
    lines += ["", "or count something themselves:", "", "| word | counts |", "|---|---|"]
    lines += [f"| `{word}` | {meaning} |" for word, meaning in listed["count"].items()]
    return "\n".join(lines) + "\n"


def settings() -> str:
    """What the environment may set."""
    from abaxial.settings import SETTINGS

    lines = ["# Settings", "", "Everything that can be set from the environment.", ""]
    lines += ["| name | meaning | without it |", "|---|---|---|"]
    lines += [f"| `{each.name}` | {each.meaning} | {each.default or 'nothing'} |" for each in SETTINGS]
    return "\n".join(lines) + "\n"


def commands() -> str:
    """Every command with the help it prints itself."""
    from abaxial.cli.main import abaxial

    lines = ["# Commands", "", "Each command prints this itself with `--help`.", ""]
    for name, command in _walk("abaxial", abaxial):
        context = click.Context(command, info_name=name, max_content_width=96, terminal_width=96)
        lines += [f"## {name}", "", "```text", command.get_help(context), "```", ""]
    return "\n".join(lines)


def changes() -> str:
    """The change log, with the fragments that are not in a version yet."""
    lines = [(ROOT / "CHANGELOG.md").read_text(encoding="utf-8").rstrip(), "", "## Not in a version yet", ""]
    for fragment in sorted((ROOT / "changelog.d").glob("*.md")):
        lines += [fragment.read_text(encoding="utf-8").strip(), ""]
    return "\n".join(lines)


PAGES = {
    "science/evidence.md": evidence,
    "science/sources.md": sources,
    "reference/words.md": words,
    "reference/settings.md": settings,
    "reference/commands.md": commands,
    "changes.md": changes,
}


def build() -> None:
    """Put the sources together and build the site; stop if the builder warns."""
    shutil.rmtree(SOURCE, ignore_errors=True)
    shutil.copytree(ROOT / "docs", SOURCE / "docs")
    shutil.copy(ROOT / "mkdocs.yml", SOURCE)
    for name, page in PAGES.items():
        (SOURCE / "docs" / name).write_text(page(), encoding="utf-8")
    builder = [str(Path(sys.executable).parent / "zensical"), "build", "--clean", "--strict", "-f", "mkdocs.yml"]
    subprocess.run(builder, cwd=SOURCE, check=True)
    shutil.rmtree(SITE, ignore_errors=True)
    shutil.move(SOURCE / "site", SITE)


class _Page(HTMLParser):
    """The links of a page, and the places in it that can be linked to."""

    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []
        self.anchors: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.anchors |= {str(given[each]) for each in ("id", "name") if given.get(each)}
        if tag in ("a", "img", "script", "link", "source") and given.get("rel") not in ("canonical", "edit"):
            self.links += [str(given[each]) for each in ("href", "src") if given.get(each)]


def broken_links() -> Iterator[str]:
    """Links inside the site that lead nowhere, and anything it would fetch from another machine."""
    pages: dict[Path, _Page] = {}
    for path in SITE.rglob("*.html"):
        pages[path] = _Page()
        pages[path].feed(path.read_text(encoding="utf-8"))
    for path, page in pages.items():
        for link in page.links:
            target, anchor = urldefrag(link)
            if "://" in target or target.startswith(("mailto:", "data:", "//", "javascript:")):
                continue
            goal = (SITE / target.lstrip("/") if target.startswith("/") else path.parent / unquote(target)).resolve()
            goal = path if not target else goal / "index.html" if goal.is_dir() else goal
            if not goal.exists():
                yield f"{path.relative_to(SITE)}: {link}"
            elif anchor and goal in pages and unquote(anchor) not in pages[goal].anchors | {"top", "__skip"}:
                yield f"{path.relative_to(SITE)}: {link} (no such place on that page)"


def _walk(name: str, command: click.Command) -> Iterator[tuple[str, click.Command]]:
    yield name, command
    if isinstance(command, click.Group):
        for each in sorted(command.commands):
            yield from _walk(f"{name} {each}", command.commands[each])


if __name__ == "__main__":
    build()
    broken = sorted(set(broken_links()))
    print(*broken, sep="\n", end="\n" if broken else "")
    print(
        f"{SITE.relative_to(ROOT)}/index.html",
        "has broken links" if broken else "is built, every link inside leads somewhere",
    )
    sys.exit(1 if broken else 0)

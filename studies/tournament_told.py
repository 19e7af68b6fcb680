"""What the tournament found, as TOML, a table and a picture; and why our plan did what it did in a week."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial import __version__
from abaxial.plan import explain
from studies.tournament_climate import setup
from studies.tournament_plan import Mind

Floats = NDArray[np.float64]
HERE = Path(__file__).parent
DOCS = HERE.parent / "docs"
#: both ends of the middle 95 of 100 of a normal curve [sd]
_SD_95 = 1.96
OURS = "plan"


class Line(NamedTuple):
    """One player in one climate. more : loss above ours, season by season, with 95 % either way. seconds : of one core, a week."""

    loss: float
    more: tuple[float, float, float]
    sprays: float
    oils: float
    broken: int
    seconds: float


def lines(results: Sequence[Mapping[str, Any]], climate: str) -> dict[str, Line]:
    """Every player of a climate."""
    seasons = [each["players"] for each in results if each["climate"] == climate]
    ours = np.array([each[OURS]["loss"] for each in seasons])
    found = {}
    for player in setup()["player"]:
        mine = [each[player] for each in seasons]
        losses = np.array([each["loss"] for each in mine])
        found[player] = Line(
            float(losses.mean()),
            _interval(losses - ours),
            float(np.mean([each["sprays"] for each in mine])),
            float(np.mean([each["oils"] for each in mine])),
            sum(each["broken"] for each in mine),
            float(np.mean([each["seconds"] for each in mine])),
        )
    return found


def write(results: Sequence[Mapping[str, Any]]) -> None:
    """The results beside the study, the picture in the gallery, the table in its page."""
    HERE.joinpath("tournament.toml").write_text(written(results), encoding="utf-8")
    (DOCS / "gallery" / "tournament.svg").write_text(picture(results), encoding="utf-8")
    page = DOCS / "science" / "tournament.md"
    head, _, rest = page.read_text(encoding="utf-8").partition(_BEGIN)
    page.write_text(f"{head}{_BEGIN}\n{table(results)}{_END}{rest.partition(_END)[2]}", encoding="utf-8")


_BEGIN, _END = "<!-- table begins -->", "<!-- table ends -->"


def written(results: Sequence[Mapping[str, Any]]) -> str:
    """What was found, as TOML."""
    rows = [
        "# What scripts/study tournament found: mean loss of a season in money, and by how much every player lost more than our",
        "# plan in the same seasons, with 95 % either way. sprays and oils are applications to a planting in a season.",
        f"date = {date.today()}",
        f'version = "{__version__}"',
    ]
    for climate in setup()["climate"]:
        seasons = sum(each["climate"] == climate for each in results)
        rows += ["", f"[{climate}]", f"seasons = {seasons}"]
        for player, each in lines(results, climate).items() if seasons else ():
            low, mid, high = each.more
            rows.append(
                f"{player} = {{ loss = {each.loss:.1f}, more = {mid:.1f}, more_95 = [{low:.1f}, {high:.1f}], "
                f"sprays = {each.sprays:.1f}, oils = {each.oils:.1f}, broken = {each.broken}, seconds = {each.seconds:.2f} }}"
            )
    return "\n".join(rows) + "\n"


def table(results: Sequence[Mapping[str, Any]]) -> str:
    """The same as a table for the documentation."""
    climates = [each for each in setup()["climate"] if any(one["climate"] == each for one in results)]
    found = {each: lines(results, each) for each in climates}
    heads = [setup()["climate"][each]["says"] for each in climates]
    rows = ["| " + " | ".join(["", *heads]) + " |", "|---|" + "---|" * len(climates)]
    for player, said in setup()["player"].items():
        cells = [_cell(player, found[climate][player]) for climate in climates]
        rows.append(f"| {said['says']} | " + " | ".join(cells) + " |")
    counts = [str(sum(each["climate"] == climate for each in results)) for climate in climates]
    rows.append("| seasons | " + " | ".join(counts) + " |")
    return "\n".join(rows) + "\n"


def _cell(player: str, each: Line) -> str:
    low, mid, high = each.more
    than_ours = "" if player == OURS else f" ({mid:+.0f}, {low:+.0f} to {high:+.0f})"
    return f"{each.loss:.0f}{than_ours}; {each.sprays:.0f} sprays"


def picture(results: Sequence[Mapping[str, Any]]) -> str:
    """How much more everybody lost than our plan, with 95 % either way, as SVG; one panel a climate."""
    players = [each for each in setup()["player"] if each != OURS]
    climates = [each for each in setup()["climate"] if any(one["climate"] == each for one in results)]
    found = {each: lines(results, each) for each in climates}
    most = max(abs(end) for each in found.values() for player in players for end in each[player].more)
    wide, row, left = 640, 24, 250
    # small and large both have to be seen
    scale = (0.91 * (wide - left) - 70) / np.sqrt(most)

    def at(value: float) -> float:
        return float(left + 0.09 * (wide - left) + scale * np.sign(value) * np.sqrt(abs(value)))

    parts, high = [], 24
    for climate in climates:
        parts.append(
            f'<text x="20" y="{high}" font-size="15" fill="#23261F">{setup()["climate"][climate]["says"]}</text>'
        )
        top = high + 8
        for player in players:
            low, mid, far = found[climate][player].more
            high += row
            line = f'<path d="M{at(low):.1f} {high - 5}H{at(far):.1f}" stroke="#6A5A95" stroke-width="3"/>'
            dot = f'<circle cx="{at(mid):.1f}" cy="{high - 5}" r="4.5" fill="#6A5A95"/>'
            words = f'<text x="{left - 14}" y="{high}" font-size="14" text-anchor="end" fill="#23261F">{_short(player)}</text>'
            parts += [
                words,
                line,
                dot,
                f'<text x="{wide - 8}" y="{high}" font-size="14" text-anchor="end" fill="#5C6257">{mid:+.0f}</text>',
            ]
        parts.append(f'<path d="M{at(0.0):.1f} {top}V{high + 4}" stroke="#5C6257" stroke-dasharray="4 3"/>')
        high += 2 * row
    title = "Loss of every rival above that of our plan in the same seasons, with 95 of 100 either way"
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high + 10}" role="img" aria-labelledby="t">',
            f'<title id="t">{title}</title>',
            f'<rect width="{wide}" height="{high + 10}" fill="#FAF7EF"/>',
            *parts,
            f'<text x="20" y="{high - 6}" font-size="14" fill="#23261F">money lost in a season above our plan (dashed), on a square-root scale</text>',
            "</svg>",
            "",
        ]
    )


def _short(player: str) -> str:
    return player.replace("_", " ")


def _interval(values: Floats) -> tuple[float, float, float]:
    mean = float(values.mean())
    reach = _SD_95 * float(values.std(ddof=1)) / np.sqrt(values.size) if values.size > 1 else float("inf")
    return mean - reach, mean, mean + reach


def why(mind: Mind, names: Sequence[str]) -> list[str]:
    """Why our plan does what it does this week, planting by planting; nothing for another player."""
    if mind.last is None:
        return []
    rows = []
    for place, prospect in enumerate(mind.last.prospects):
        line, own = mind.last.chosen[place], mind.last.own[place]
        chosen = prospect.programmes[line]
        # everybody looks every week anyway
        others = [each for each in range(own) if [step.kind for step in prospect.programmes[each].now()] != ["look"]]
        others = sorted({*others, line})
        best = explain.best_other(
            prospect.cost[others], others.index(line), [prospect.programmes[each].now() for each in others]
        )
        if best < 0:
            continue
        other = others[best]
        saved = prospect.losses[other] - prospect.losses[line]
        if chosen.now() or abs(float(saved.mean())) < 2.0:
            acts = (
                " then ".join(f"week {each.week} {each.kind} {each.bottle}".strip() for each in chosen.steps) or "wait"
            )
            instead = (
                " ".join(f"{each.kind} {each.bottle}".strip() for each in prospect.programmes[other].now()) or "wait"
            )
            rows.append(
                f"{names[place]}: {acts}; expected to lose {prospect.cost[line]:.1f}, against {instead} it saves "
                f"{saved.mean():.1f} and is better in {float((saved > 0).mean()):.0%} of what may come"
            )
    return rows


def sum_of(found: Mapping[str, Any], names: Sequence[str]) -> Iterator[str]:
    """What a season came to."""
    yield f"lost {found['loss']:.0f}: plants {found['plants']:.0f}, work {found['work']:.0f}, product {found['product']:.0f}, harm and resistance {found['taught']:.0f}"
    yield "plants: " + ", ".join(f"{name} {loss:.0f}" for name, loss in zip(names, found["by_planting"], strict=True))
    yield f"{found['sprays']} applications of fungicide, {found['oils']} of oil, {found['broken']} against a rule"

"""Our plan against seven simpler ways through the same seasons, in three climates, all judged by one loss.

Run as `scripts/study tournament [SEASONS]`: a run that was stopped goes on where it was, season by season. Everything that could
decide it stands in tournament_setup.toml. `python -m studies.tournament --replay CLIMATE SEASON [PLAYER]`
tells one season week by week; `--garden CLIMATE SEASON FOLDER [PLAYER]` writes it as a garden that `abaxial week` opens. What is
found lies beside this file in TOML, with a picture and a table in the documentation.
"""

import json
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from pathlib import Path
from typing import Any

import numba
import numpy as np

from abaxial.plan.programmes.step import Step
from studies import tournament_garden
from studies import tournament_plan as our_plan
from studies import tournament_rivals as rivals
from studies import tournament_scene as scenes
from studies import tournament_told as told
from studies.tournament_climate import setup
from studies.tournament_garden import Season
from studies.tournament_looks import NOT_LOOKED, Seen
from studies.tournament_player import Garden
from studies.tournament_scene import Scene

#: seasons that were played, one a line; it may be deleted, and then all are played again
PLAYED = Path(__file__).parent.parent / "build" / "tournament_seasons.jsonl"

Week = tuple[int, list[Seen], list[tuple[int, Step]], float]


def play(scene: Scene, player: str, hear: Callable[[int, our_plan.Mind], None] | None = None) -> dict[str, Any]:
    """One season of one player: what it came to, and every week of it."""
    garden, memory, mind = Garden(scene), rivals.Memory(), our_plan.Mind()
    weeks: list[Week] = []
    for week in range(scene.weeks):
        found = garden.walk(week) if player != "nothing" else [NOT_LOOKED] * len(scene.climate.stands)
        if player == "plan":
            done = our_plan.act(garden, week, found, mind)
        else:
            done = rivals.act(garden, player, week, [each.rusted for each in found], memory)
        weeks.append((week, found, done, garden.spent[-1].minutes))
        if hear is not None:
            hear(week, mind)
    judged = garden.judged()
    answer = {name: _plain(value) for name, value in judged._asdict().items()}
    return {"loss": float(judged.loss), **answer, "seconds": float(np.mean(mind.seconds or [0.0])), "weeks": weeks}


def season(task: tuple[str, int]) -> dict[str, Any]:
    """One season of every player."""
    key, number = task
    scene = scenes.scene_of(key, number)
    players = {}
    for player in setup()["player"]:
        found = play(scene, player)
        players[player] = {name: value for name, value in found.items() if name != "weeks"}
    return {"climate": key, "season": number, "players": players}


def played(path: Path = PLAYED) -> list[dict[str, Any]]:
    """The seasons played so far."""
    found = []
    for line in path.read_text(encoding="utf-8").splitlines() if path.exists() else ():
        try:
            found.append(json.loads(line))
        except json.JSONDecodeError:
            # it was being written when the run was stopped
            continue
    return found


def run(count: int, path: Path = PLAYED) -> list[dict[str, Any]]:
    """Play on until there are so many seasons of each climate; each is written down as it ends."""
    path.parent.mkdir(exist_ok=True)
    there = {(each["climate"], each["season"]) for each in played(path)}
    tasks = [(key, number) for number in range(count) for key in setup()["climate"] if (key, number) not in there]
    with ProcessPoolExecutor(2, initializer=_on_one_core) as pool, path.open("a", encoding="utf-8") as out:
        # whatever was being written when a run was stopped ends here
        out.write("\n" if path.stat().st_size else "")
        for done in as_completed([pool.submit(season, each) for each in tasks]):
            out.write(json.dumps(done.result()) + "\n")
            out.flush()
    return [each for each in played(path) if each["season"] < count]


def in_full(key: str, number: int, player: str = "plan") -> Season:
    """One season with all that was found and done in it, why, and what it came to."""
    scene = scenes.scene_of(key, number)
    names = [each.planting.name for each in scene.climate.stands]
    why: dict[int, list[str]] = {}
    found = play(scene, player, lambda week, mind: why.update({week: told.why(mind, names)}))
    return Season(scene, key, player, found["weeks"], why, tuple(told.sum_of(found, names)))


def replay(key: str, number: int, player: str = "plan") -> Iterator[str]:
    """One season, week by week: what the walk found, what was done and why, and what it came to."""
    season = in_full(key, number, player)
    names = [each.planting.name for each in season.scene.climate.stands]
    yield season.says
    for week, seen, done, minutes in season.weeks:
        on, counts = season.scene.on(week), " ".join("-" if each.rusted < 0 else str(each.rusted) for each in seen)
        yield f"{on}  rusted of {setup()['turned']}: {counts}"
        for place, step in done:
            yield f"    {names[place]}: {step.kind.replace('_', ' ')} {step.bottle}".rstrip()
        yield from (f"      {line}" for line in season.why[week])
        if done:
            yield f"    {minutes:.0f} minutes"
    yield from season.came_to


def _laid_out(key: str, number: str, folder: str, *player: str) -> str:
    season = in_full(key, int(number), *player)
    file, scene = tournament_garden.write(season, Path(folder)), season.scene
    return f"{season.says}: a garden from {scene.on(0)} to {scene.on(scene.weeks)}.\nNow: abaxial week {file} --at {scene.on(0)}"


def _on_one_core() -> None:
    # as many seasons at once as there are cores
    numba.set_num_threads(1)


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return [round(float(each), 2) for each in value]
    return int(value) if isinstance(value, int) else float(value)


if __name__ == "__main__":
    words = sys.argv[1:]
    if words[:1] == ["--replay"]:
        print("\n".join(replay(words[1], int(words[2]), *words[3:4])))
    elif words[:1] == ["--garden"]:
        print(_laid_out(*words[1:5]))
    else:
        told.write(run(int(words[0]) if words else int(setup()["seasons"])))

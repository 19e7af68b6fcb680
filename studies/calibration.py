"""Whether the estimate keeps its word where the truth is known: even ranks for every unknown, and how often bands hold it.

Run as `scripts/study calibration [GARDENS]`. A garden's truth is one version drawn as the priors say; the gardener walks it and
estimates. The truth's rank among 63 versions is then even, if the estimate is right. What was found lies beside this
file in TOML, with a picture.
"""

import sys
from concurrent.futures import ProcessPoolExecutor
from datetime import date
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from abaxial import __version__, chance
from abaxial.assimilation import diagnose
from abaxial.assimilation.estimate import shares_of
from abaxial.epidemic.kernel import WHOLE
from studies import simulated_gardens as gardens

Floats = NDArray[np.float64]
SEED = 20261126
GARDENS, TO_A_SCENE, VERSIONS, RANKED = 200, 25, 1024, 63
AHEAD_D = 14


def one_scene(task: tuple[int, int]) -> tuple[list[str], list[list[int]], list[list[bool]]]:
    """Some gardens under one weather: names, ranks of the truth, and whether 80 % bands held the latent area ahead."""
    number, count = task
    scene = gardens.scene(SEED + number)
    ranks, held = [], []
    for each in range(count):
        luck = SEED + 1000 * number + each
        real = gardens.truth(scene, luck)
        found = gardens.posterior(scene, gardens.walks(scene, real, luck), luck, VERSIONS)
        some = slice(None, None, VERSIONS // (RANKED + 1))
        truths = list(real.cloud.known[0])
        versions = list(found.cloud.known[some][:RANKED].T)
        inside = []
        for planting in range(len(gardens.PLANTINGS)):
            latent, showing = shares_of(found, planting)
            then, now = scene.today + AHEAD_D - found.first_day, scene.today - 1 - found.first_day
            real_then = real.record[scene.today + AHEAD_D, planting, WHOLE, 0]
            truths += [real_then, real.record[scene.today - 1, planting, WHOLE, 1]]
            versions += [latent[then][some][:RANKED], showing[now][some][:RANKED]]
            low, high = np.quantile(latent[then], (0.1, 0.9))
            inside.append(bool(low <= real_then <= high))
        dice = chance.uniforms(luck, "rank", 0, len(truths))
        even = np.ones(RANKED)
        ranks.append([diagnose.rank_of(*case, even, die) for *case, die in zip(truths, versions, dice, strict=True)])
        held.append(inside)
    names = [f"{name} {of}".strip() for name, of in zip(scene.unknowns.names, scene.unknowns.of, strict=True)]
    for planting in gardens.PLANTINGS:
        names += [f"latent in a fortnight {planting}", f"showing today {planting}"]
    return names, ranks, held


def run(count: int) -> tuple[list[str], NDArray[np.int64], NDArray[np.bool_]]:
    """Ranks (gardens, names) and bands (gardens, plantings) of so many gardens."""
    tasks = [(number, min(TO_A_SCENE, count - first)) for number, first in enumerate(range(0, count, TO_A_SCENE))]
    with ProcessPoolExecutor(2) as pool:
        results = list(pool.map(one_scene, tasks))
    names = results[0][0]
    return names, np.concatenate([each[1] for each in results]), np.concatenate([each[2] for each in results])


def written(names: list[str], ranks: NDArray[np.int64], held: NDArray[np.bool_]) -> str:
    """What was found, as TOML."""
    lines = [
        "# What scripts/study calibration found: in simulated gardens whose truth is one version more, the truth's rank.",
        "# deviation_sd within limit_sd, and chance_frac not small, mean even ranks; one name in twenty may be outside.",
        f"date = {date.today()}",
        f'version = "{__version__}"',
        f"seed = {SEED}",
        f"gardens = {ranks.shape[0]}",
        f"versions = {VERSIONS}",
        f"covered_frac = {held.mean():.3f}     # 80 % bands of latent area a fortnight ahead that held the truth",
        "",
        "[rank]",
    ]
    for place, name in enumerate(names):
        even = diagnose.rank_uniformity(ranks[:, place], RANKED)
        lines.append(
            f'"{name}" = {{ mean_frac = {(ranks[:, place].mean() + 0.5) / (RANKED + 1):.3f}, '
            f"chance_frac = {even.chance_frac:.3f}, deviation_sd = {even.deviation_sd:.2f}, limit_sd = {even.limit_sd:.2f} }}"
        )
    return "\n".join(lines) + "\n"


def picture(ranks: NDArray[np.int64]) -> str:
    """Cumulated ranks less what even ones would be, one line a name, and the band in which 95 of 100 stay, as SVG."""
    cases, names = ranks.shape
    places = np.arange(1, RANKED + 1) / (RANKED + 1)
    reach = diagnose.deviation_limit_sd(cases, tuple(places.tolist())) * np.sqrt(places * (1.0 - places) / cases)
    lines = [(ranks[:, [place]] < np.arange(1, RANKED + 1)).mean(axis=0) - places for place in range(names)]
    wide, high, middle = 640, 330, 145
    scale = 125.0 / max(float(np.abs(np.stack([reach, *lines])).max()), 1e-9)

    def path(values: Floats) -> str:
        points = zip(20 + places * (wide - 40), middle - values * scale, strict=True)
        return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points)

    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" role="img" aria-labelledby="t">',
            f'<title id="t">Ranks of the truth in {cases} gardens, {names} quantities: cumulated share less an even one</title>',
            f'<rect width="{wide}" height="{high}" fill="#FAF7EF"/>',
            f'<path d="{path(reach)}" fill="none" stroke="#5C6257" stroke-dasharray="4 3"/>',
            f'<path d="{path(-reach)}" fill="none" stroke="#5C6257" stroke-dasharray="4 3"/>',
            *(
                f'<path d="{path(line)}" fill="none" stroke="#6A5A95" stroke-width="1" opacity="0.55"/>'
                for line in lines
            ),
            f'<text x="20" y="{high - 14}" font-size="13" fill="#23261F">rank of the truth, lowest to highest; dashed: 95 of 100 even sets stay inside</text>',
            "</svg>",
            "",
        ]
    )


if __name__ == "__main__":
    here = Path(__file__)
    found = run(int(sys.argv[1]) if len(sys.argv) > 1 else GARDENS)
    here.with_suffix(".toml").write_text(written(*found), encoding="utf-8")
    (here.parent.parent / "docs" / "gallery" / "calibration.svg").write_text(picture(found[1]), encoding="utf-8")

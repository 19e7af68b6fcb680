"""Leaf wetness: columns times hours per second, compiled against NumPy and against a floor, in one run.

The floor does only what the equations cannot avoid: per column and hour four steps of one exponential, five divisions and
four roots, and five more divisions, on the same workspace.
"""

import time
from collections.abc import Callable
from typing import Any

import numpy as np

from abaxial.compiled import exp, kernel, prange, small_kernel
from abaxial.microclimate import kernel as leaf_kernel
from abaxial.microclimate import wetness
from benchmarks import numpy_twin

HOURS, MEMBERS, LANES = 2400, 8, 64


def invented_drivers(columns: int, hours: int = HOURS) -> tuple[leaf_kernel.Drivers, leaf_kernel.Leaf]:
    """A smooth invented summer for columns / 8 leaves in 8 members."""
    leaves = columns // MEMBERS
    clock = np.arange(hours)[:, None] % 24
    swing = np.sin((clock - 9) / 24 * 2 * np.pi)
    tilt = np.linspace(-1.0, 1.0, MEMBERS)
    temperature = 18.0 + 6.0 * swing + tilt
    saturation = 0.6108 * np.exp(17.27 * temperature / (temperature + 237.3))
    humidity = np.clip(0.8 - 0.25 * swing + 0.03 * tilt, 0.1, 1.0)
    sun = np.maximum(800.0 * np.sin((clock - 6) / 12 * np.pi), 0.0) * np.where((clock > 6) & (clock < 18), 1.0, 0.0)
    rain = np.where((np.arange(hours)[:, None] // 5) % 17 == 0, 1.5, 0.0) + 0.0 * tilt
    rows = (temperature, saturation * humidity, saturation, 1.5 + swing + 0.2 * tilt, rain)
    air = np.stack([*rows, 0.7 * sun + 0.0 * tilt, 0.3 * sun + 0.0 * tilt, -50.0 + 5.0 * swing + tilt], axis=1)
    members = wetness.wetness_members(1, MEMBERS)
    by_hour, by_day = np.ones((hours, leaves)), np.linspace(0.2, 0.9, leaves) * np.ones((hours // 24 + 1, leaves))
    drivers = leaf_kernel.Drivers(
        np.ascontiguousarray(air), members, 0.6 * by_hour, 0.0 * by_hour, by_day, by_day, by_day, 0.3 * by_day,
        0.3 * by_day, np.arange(hours) // 24,
    )  # fmt: skip
    return drivers, leaf_kernel.Leaf(
        np.full(leaves, 0.2), np.full(leaves, 0.1), 101.3, 0.97, 0.5, 0.001, 0.25, 0.05, 0.5
    )


@small_kernel
def _floor_hour(w: Any) -> None:
    for j in range(LANES):
        x = w[j]
        for_exp = w[64 + j]
        a = exp(x * 0.001) + for_exp
        b = np.sqrt(np.sqrt(a) + np.sqrt(a + 1.0)) + np.sqrt(a + 2.0) + 1.0 / (a + 3.0) + x / (a + 4.0)
        c = 1.0 / (b + 1.0) + 1.0 / (b + 2.0) + 1.0 / (b + 3.0)
        a = exp(c * 0.001) + for_exp
        b = np.sqrt(np.sqrt(a) + np.sqrt(a + 1.0)) + np.sqrt(a + 2.0) + 1.0 / (a + 3.0) + c / (a + 4.0)
        c = 1.0 / (b + 1.0) + 1.0 / (b + 2.0) + 1.0 / (b + 3.0)
        a = exp(c * 0.001) + for_exp
        b = np.sqrt(np.sqrt(a) + np.sqrt(a + 1.0)) + np.sqrt(a + 2.0) + 1.0 / (a + 3.0) + c / (a + 4.0)
        c = 1.0 / (b + 1.0) + 1.0 / (b + 2.0) + 1.0 / (b + 3.0)
        a = exp(c * 0.001) + for_exp
        b = np.sqrt(np.sqrt(a) + np.sqrt(a + 1.0)) + np.sqrt(a + 2.0) + 1.0 / (a + 3.0) + c / (a + 4.0)
        c = 1.0 / (b + 1.0) + 1.0 / (b + 2.0) + 1.0 / (b + 3.0)
        w[j] = c / (c + 1.0) + c / (c + 2.0) + c / (c + 3.0) + c / (c + 4.0) + c / (c + 5.0)


@kernel
def floor(columns: int, hours: int, result: Any) -> None:
    """The unavoidable exponentials, divisions and roots of `columns` x `hours`."""
    for block in prange((columns + LANES - 1) // LANES):
        w = np.ones(2 * LANES)
        for _ in range(hours):
            _floor_hour(w)
        result[block] = w.sum()


def best_of(times: int, work: Callable[[], object]) -> float:
    """Shortest of some runs [s]."""
    taken = []
    for _ in range(times):
        begin = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begin)
    return min(taken)


def measure(columns: int) -> dict[str, float]:
    """Millions of column-hours per second of the three, and their ratios."""
    drivers, leaf = invented_drivers(columns)
    leaves = columns // MEMBERS
    shape = (leaves, HOURS, 4, MEMBERS)
    answer, result = np.empty(shape, np.float32), np.zeros(columns)

    def fresh() -> Any:
        film = np.zeros((leaves, 3, MEMBERS))
        film[:, :2] = 0.001
        return film

    leaf_kernel.leaf_hours(fresh(), drivers, leaf, answer)
    floor(columns, HOURS, result)
    ours = best_of(5, lambda: leaf_kernel.leaf_hours(fresh(), drivers, leaf, answer))
    peer = best_of(2, lambda: numpy_twin.leaf_hours(fresh(), drivers, leaf, answer))
    least = best_of(5, lambda: floor(columns, HOURS, result))
    work = columns * HOURS / 1e6
    return {
        "columns": columns,
        "compiled_million_per_s": work / ours,
        "numpy_million_per_s": work / peer,
        "floor_million_per_s": work / least,
        "times_numpy": peer / ours,
        "times_floor": ours / least,
    }


if __name__ == "__main__":
    for columns in (200, 960):
        print("  ".join(f"{name} {value:.4g}" for name, value in measure(columns).items()))

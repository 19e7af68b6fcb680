"""How long something takes: the quickest of a few tries, since other work on the machine is not ours."""

from collections.abc import Callable
from time import perf_counter


def quickest_s(act: Callable[[], object], tries: int = 3) -> float:
    """Seconds of the quickest of a few tries."""
    return min(_seconds(act) for _ in range(tries))


def _seconds(act: Callable[[], object]) -> float:
    begin = perf_counter()
    act()
    return perf_counter() - begin

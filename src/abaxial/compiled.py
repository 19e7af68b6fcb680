"""The one door to the compiler: formulas, kernels, and the functions both may call.

A formula is ordinary Python on numbers or arrays; inside a kernel the same lines are compiled. `exp` and `log` are
NumPy's outside and, inside, short polynomials that the compiler can run on several numbers at once.

Compiled code is kept in a folder named by the hash of all our sources, because the compiler's own cache does not notice
a change in another file and would then answer with old code.
"""

import hashlib
import os
import tempfile
import threading
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import cache, wraps
from itertools import pairwise
from pathlib import Path
from typing import Any, TypeVar

import numba
import numpy as np
from numba import types
from numba.core import config as numba_config
from numba.extending import intrinsic, overload, register_jitable

F = TypeVar("F", bound=Callable[..., Any])
T = TypeVar("T")
R = TypeVar("R")
prange = numba.prange
_intrinsic: Callable[[Any], Callable[[Any], Any]] = intrinsic  # the compiler passes the first argument itself
_LOCK = threading.Lock()
# no infinities and no NaN inside a kernel: missing weather is filled or refused before
_FAST = {"contract", "nsz", "arcp", "nnan", "ninf", "reassoc"}


def formula(function: F) -> F:
    """Mark a function as usable on arrays and inside kernels alike."""
    return register_jitable(forceinline=True)(function)


def kernel(function: F) -> F:
    """Compile a function for two cores (prange allowed), keep the result, and let one caller in at a time."""
    compiled = _compile(function, parallel=True)

    @wraps(function)
    def guarded(*arguments: Any) -> Any:
        with _LOCK:
            return compiled(*arguments)

    return guarded  # type: ignore[return-value]


def small_kernel(function: F) -> F:
    """Compile a function for one core, callable from other kernels, and keep the result."""
    return _compile(function, parallel=False)


def in_pieces(run_piece: Callable[[int, int], None], size: int) -> None:
    """Do a job of many equal pieces on as many threads as the compiler uses: run_piece(begin, end) does some of them.

    For compiled work that lets go of the interpreter; it compiles several times faster than a parallel kernel.
    """
    threads = min(numba.get_num_threads(), size)
    if threads == 1:
        run_piece(0, size)
        return
    edges = [size * each // max(threads, 1) for each in range(threads + 1)]
    with ThreadPoolExecutor(max(threads, 1)) as pool:
        for done in [pool.submit(run_piece, *edge) for edge in pairwise(edges)]:
            done.result()


def of_each(function: Callable[[T], R], things: Sequence[T]) -> list[R]:
    """A function of each of some things, in their order, on as many threads as the compiler uses.

    For work that mostly lets go of the interpreter, each piece of it on one core.
    """
    threads = min(numba.get_num_threads(), len(things))
    if threads <= 1:
        return [function(each) for each in things]
    with ThreadPoolExecutor(threads, initializer=numba.set_num_threads, initargs=(1,)) as pool:
        return list(pool.map(function, things))


def _compile(function: F, *, parallel: bool) -> F:
    before = numba_config.CACHE_DIR  # type: ignore[attr-defined]
    numba_config.CACHE_DIR = str(cache_folder())  # type: ignore[attr-defined]
    try:
        return numba.njit(  # type: ignore[no-any-return]
            function, cache=True, parallel=parallel, fastmath=_FAST, error_model="numpy", nogil=True
        )
    finally:
        numba_config.CACHE_DIR = before  # type: ignore[attr-defined]


@cache
def cache_folder() -> Path:
    """Folder for compiled code, named by the hash of all our sources. Falls back to a temporary folder."""
    root = Path(__file__).parent
    digest = hashlib.sha256(numba.__version__.encode())
    for path in sorted(root.rglob("*.py")):
        digest.update(path.relative_to(root).as_posix().encode())
        digest.update(path.read_bytes())
    base = os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
    folder = Path(base) / "abaxial" / "compiled" / digest.hexdigest()[:16]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return folder
    except OSError:
        return Path(tempfile.mkdtemp(prefix="abaxial-compiled-"))


def is_warm() -> bool:
    """Whether this version has compiled code on disk, so that no compiling is ahead."""
    return any(cache_folder().rglob("*.nbc"))


def exp(x: Any) -> Any:
    """Exponential of x, any shape. In kernels: relative error below 1e-14 for -700 < x < 700, clamped outside."""
    return np.exp(x)


def exp_single(x: Any) -> Any:
    """Exponential of x in single precision, any shape. In kernels: relative error below 5e-7 for -87 < x < 88, clamped
    outside; twice as many numbers at once as `exp`."""
    return np.exp(np.asarray(x, np.float32))


def log(x: Any) -> Any:
    """Natural logarithm of x > 0, any shape. In kernels: absolute error below 1e-14 near 1, relative 1e-14 elsewhere."""
    return np.log(x)


@_intrinsic
def _bits_to_float(typing_context: Any, bits: Any) -> Any:
    def build(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
        return builder.bitcast(arguments[0], context.get_value_type(types.float64))

    return types.float64(types.int64), build


@_intrinsic
def _float_to_bits(typing_context: Any, value: Any) -> Any:
    def build(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
        return builder.bitcast(arguments[0], context.get_value_type(types.int64))

    return types.int64(types.float64), build


@_intrinsic
def _bits_to_single(typing_context: Any, bits: Any) -> Any:
    def build(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
        return builder.bitcast(arguments[0], context.get_value_type(types.float32))

    return types.float32(types.int32), build


@overload(exp, jit_options={"forceinline": True, "fastmath": True})
def _exp_overload(x: Any) -> Any:
    def implementation(x: Any) -> Any:
        y = min(max(x, -700.0), 700.0)
        k = np.floor(y * 1.4426950408889634 + 0.5)
        r = (y - k * 0.693147180369123816490) - k * 1.90821492927058770002e-10
        # Taylor series on |r| < 0.347, degree 11, in halves so that the processor can work on both at once
        r2 = r * r
        r4 = r2 * r2
        low = (1.0 + r) + r2 * (0.5 + r * 0.16666666666666666)
        mid = (0.041666666666666664 + r * 0.008333333333333333) + r2 * (
            0.001388888888888889 + r * 0.0001984126984126984
        )
        high = (2.48015873015873e-05 + r * 2.7557319223985893e-06) + r2 * (
            2.755731922398589e-07 + r * 2.505210838544172e-08
        )
        return (low + r4 * (mid + r4 * high)) * _bits_to_float((np.int64(k) + 1023) << 52)

    return implementation


_PER_LN2, _LN2_HIGH, _LN2_LOW = np.float32(1.4426950408889634), np.float32(0.693359375), np.float32(-2.12194440e-4)
_SMALLEST, _LARGEST, _HALF, _ONE = np.float32(-87.0), np.float32(88.0), np.float32(0.5), np.float32(1.0)
# one over 3!, 4!, 5! and 6!
_SERIES = tuple(np.float32(1.0 / n) for n in (6, 24, 120, 720))
_BIAS = np.int32(127)


@overload(exp_single, jit_options={"forceinline": True, "fastmath": True})
def _exp_single_overload(x: Any) -> Any:
    c3, c4, c5, c6 = _SERIES

    def implementation(x: Any) -> Any:
        y = min(max(np.float32(x), _SMALLEST), _LARGEST)
        k = np.floor(y * _PER_LN2 + _HALF)
        r = (y - k * _LN2_HIGH) - k * _LN2_LOW
        tail = c3 + r * (c4 + r * (c5 + r * c6))
        return (_ONE + r + r * r * (_HALF + r * tail)) * _bits_to_single((np.int32(k) + _BIAS) << np.int32(23))

    return implementation


@overload(log, jit_options={"forceinline": True, "fastmath": True})
def _log_overload(x: Any) -> Any:
    def implementation(x: Any) -> Any:
        bits = _float_to_bits(x)
        shifted = bits - 0x3FE6A09E667F3BCD  # bits of sqrt(1/2): the mantissa then lies in sqrt(1/2) to sqrt(2)
        k = shifted >> 52
        m = _bits_to_float(bits - (k << 52))
        s = (m - 1.0) / (m + 1.0)
        s2 = s * s
        # artanh series on |s| < 0.1716, to s**19
        series = 1.0 / 3.0 + s2 * (
            0.2
            + s2
            * (
                1.0 / 7.0
                + s2
                * (
                    1.0 / 9.0
                    + s2 * (1.0 / 11.0 + s2 * (1.0 / 13.0 + s2 * (1.0 / 15.0 + s2 * (1.0 / 17.0 + s2 / 19.0))))
                )
            )
        )
        return 2.0 * s * (1.0 + s2 * series) + np.float64(k) * 0.6931471805599453

    return implementation

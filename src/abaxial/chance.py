"""The only place that makes chance: random numbers that depend on what they are for, never on the order of asking.

Each number is a hash (Philox 4x32, ten rounds) of a seed, a named purpose and four counters such as day, member and
planting. Asking for more members, in another order or in pieces changes none of the others.

Source: salmon2011, Philox4x32-10; known answers checked in published/salmon2011.toml.
"""

import hashlib

import numpy as np
from numpy.random import Generator, Philox
from numpy.typing import NDArray

_MULTIPLIER_0, _MULTIPLIER_1 = np.uint64(0xD2511F53), np.uint64(0xCD9E8D57)
_WEYL_0, _WEYL_1 = 0x9E3779B9, 0xBB67AE85
_LOW = np.uint64(0xFFFFFFFF)


def philox(counters: NDArray[np.uint64], key: tuple[int, int]) -> NDArray[np.uint64]:
    """Ten Philox rounds.

    counters : (4, n), each below 2**32. key : two numbers below 2**32. Returns (4, n), each below 2**32.
    """
    a, b, c, d = (row.astype(np.uint64) for row in counters)
    k0, k1 = key
    for _ in range(10):
        product_0, product_1 = _MULTIPLIER_0 * a, _MULTIPLIER_1 * c
        a, b, c, d = (
            (product_1 >> np.uint64(32)) ^ b ^ np.uint64(k0),
            product_1 & _LOW,
            (product_0 >> np.uint64(32)) ^ d ^ np.uint64(k1),
            product_0 & _LOW,
        )
        k0, k1 = (k0 + _WEYL_0) & 0xFFFFFFFF, (k1 + _WEYL_1) & 0xFFFFFFFF
    return np.stack([a, b, c, d])


def uniforms(seed: int, purpose: str, counter: int, size: int, *, second: int = 0) -> NDArray[np.float64]:
    """Uniform numbers in (0, 1), one for each of `size` members, shape (size,).

    purpose : what the numbers decide. counter, second : which day, which planting; any whole numbers.
    The first k of a longer draw are the draw of k.
    """
    digest = hashlib.blake2b(f"{seed}/{purpose}".encode(), digest_size=8).digest()
    key = (int.from_bytes(digest[:4], "little"), int.from_bytes(digest[4:], "little"))
    counters = np.zeros((4, size), np.uint64)
    counters[0] = np.arange(size, dtype=np.uint64)
    counters[1] = np.uint64(counter & 0xFFFFFFFF)
    counters[2] = np.uint64(second & 0xFFFFFFFF)
    high, low = philox(counters, key)[:2]
    # 53 bits, shifted by half a step so that neither 0 nor 1 occurs
    bits = ((high >> np.uint64(5)) << np.uint64(26)) | (low >> np.uint64(6))
    return np.asarray((bits.astype(np.float64) + 0.5) / 2.0**53)


def normals(seed: int, purpose: str, counter: int, size: int, *, second: int = 0) -> NDArray[np.float64]:
    """Standard normal numbers, shape (size,), by Box and Muller's transform of two independent uniforms."""
    first = uniforms(seed, purpose + "/radius", counter, size, second=second)
    angle = uniforms(seed, purpose + "/angle", counter, size, second=second)
    return np.asarray(np.sqrt(-2.0 * np.log(first)) * np.cos(2.0 * np.pi * angle))


def block_normals(seed: int, purpose: str, counter: int, shape: tuple[int, ...]) -> NDArray[np.float64]:
    """A whole block of standard normal numbers at once, of any shape: fast, for steps that are always taken whole.

    The same block for the same seed, purpose, counter and shape; unlike `normals`, a larger block is another one. NumPy's
    own Philox generator.
    """
    digest = hashlib.blake2b(f"{seed}/{purpose}/{counter}".encode(), digest_size=16).digest()
    generator = Generator(Philox(key=int.from_bytes(digest, "little")))
    return np.asarray(generator.standard_normal(shape))


def stratified(seed: int, purpose: str, size: int) -> NDArray[np.float64]:
    """One uniform number in each of `size` equal strata, in shuffled order, shape (size,): a one-dimensional Latin
    hypercube, so that a few members still cover a range."""
    order = np.argsort(uniforms(seed, purpose + "/order", 0, size), kind="stable")
    within = uniforms(seed, purpose + "/within", 0, size)
    return np.asarray((order + within) / size)

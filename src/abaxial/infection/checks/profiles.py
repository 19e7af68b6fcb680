"""What a rust's own file says under constant conditions, from its central values: for checks and explanations."""

import numpy as np
from numpy.typing import NDArray

from abaxial.infection import latency, response, survival
from abaxial.infection.pathogen import read_pathogen

Numbers = NDArray[np.float64] | float


def infected_after_frac(rust: str, wet_h: Numbers, temperature_c: Numbers) -> NDArray[np.float64]:
    """Share of the spores on a leaf that are inside after one unbroken wet spell at one temperature [0 to 1].

    rust : key of its file. wet_h, temperature_c : any shapes that go together.
    """
    pathogen = read_pathogen(rust)
    speed = response.beta_response_frac(
        np.asarray(temperature_c, float),
        *(pathogen[f"infection_{mark}_c"] for mark in ("minimum", "optimum", "maximum")),
    )
    return np.asarray(response.infected_share_frac(speed * wet_h, pathogen["first_wet_h"], pathogen["full_wet_h"]))


def latent_period_of_d(rust: str, temperature_c: Numbers) -> NDArray[np.float64]:
    """Latent period at a constant temperature [d], infinite where it stalls. rust : key of its file."""
    pathogen = read_pathogen(rust)
    names = ("latent_minimum_c", "latent_optimum_c", "latent_maximum_c", "shortest_latent_d")
    return latency.latent_period_d(np.asarray(temperature_c, float), *(pathogen[name] for name in names))


def swinging_latent_period_d(rust: str, coldest_c: float, warmest_c: float) -> float:
    """Latent period where every day swings as a sine between two temperatures [d], summed hour by hour."""
    swing = np.sin(2.0 * np.pi * (np.arange(24) + 0.5) / 24.0)
    hourly = (coldest_c + warmest_c) / 2.0 + (warmest_c - coldest_c) / 2.0 * swing
    return float(1.0 / np.mean(1.0 / latent_period_of_d(rust, hourly)))


def alive_after_frac(rust: str, dose_mj_m2: Numbers, passed_d: Numbers) -> NDArray[np.float64]:
    """Share of waiting spores alive after a dose of sunlight [MJ/m²] and a time [d]. rust : key of its file."""
    pathogen = read_pathogen(rust)
    return np.asarray(
        survival.alive_frac(dose_mj_m2, passed_d, pathogen["sun_loss_per_mj"], pathogen["dark_loss_per_d"])
    )

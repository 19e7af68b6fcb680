"""Our sampler against a library of particle filters that others wrote: exact filters, and filters of as many particles."""

import numpy as np
import particles
import pytest
from particles import distributions, hmm, kalman
from particles import state_space_models as spaces
from tests.rooms import chains
from tests.rooms.chains import SHOWS, TURN, Hidden, LinearGaussian

GAUSSIAN = LinearGaussian(np.array([0.4, 1.1, -0.6, -2.2, -1.4, -0.1, 0.8, 1.9, 2.6, 1.2]))
FINDS = Hidden(np.array([0, 1, 0, 0, 1, 1, 0, 1, 1, 1]))
# adapting its moves to so few versions as 512 costs the sampler 0.05 of log evidence; with these it is lost in the noise
VERSIONS, SEEDS = 4096, range(12)


class Walk(spaces.StateSpaceModel):
    """The chain of normal steps as the library wants it, from its first look on."""

    def PX0(self):
        return distributions.Normal(loc=0.0, scale=np.sqrt(0.81 + 0.25))

    def PX(self, t, xp):
        return distributions.Normal(loc=0.9 * xp, scale=0.5)

    def PY(self, t, xp, x):
        return distributions.Normal(loc=x, scale=1.0)


class Finds(hmm.HMM):
    """The hidden states as the library wants them."""

    def PY(self, t, xp, x):
        return distributions.Categorical(p=np.stack([1.0 - SHOWS[x], SHOWS[x]], axis=-1))


def _kalman() -> kalman.Kalman:
    space = kalman.LinearGauss(rho=0.9, sigmaX=0.5, sigmaY=1.0, sigma0=np.sqrt(0.81 + 0.25))
    found = kalman.Kalman(ssm=space, data=GAUSSIAN.looks)
    found.filter()
    return found


def _forward() -> hmm.BaumWelch:
    found = hmm.BaumWelch(hmm=Finds(init_dist=np.full(3, 1.0 / 3.0) @ TURN, trans_mat=TURN), data=list(FINDS.looks))
    found.forward()
    return found


def test_the_exact_answers_of_the_chains_are_those_of_the_library():
    by_kalman, by_forward = _kalman(), _forward()
    evidence, mean, variance = GAUSSIAN.exactly()
    finds_evidence, chances = FINDS.exactly()

    assert evidence == pytest.approx(float(np.sum(by_kalman.logpyt)))
    assert mean == pytest.approx(float(by_kalman.filt[-1].mean[0]))
    assert variance == pytest.approx(float(by_kalman.filt[-1].cov[0, 0]))
    assert finds_evidence == pytest.approx(float(np.sum(by_forward.logpyt)))
    assert chances == pytest.approx(by_forward.filt[-1])


def test_each_look_is_as_likely_given_those_before_as_the_library_says():
    steps = np.array([chains.told(GAUSSIAN, 2048, seed).log_evidence for seed in SEEDS])
    theirs = np.ravel(_kalman().logpyt)

    # of the mean of twelve runs, in their own standard errors
    away = (steps.mean(axis=0) - theirs) / (steps.std(axis=0, ddof=1) / len(SEEDS) ** 0.5)
    assert np.abs(away).max() < 4.5
    np.testing.assert_allclose(steps.mean(axis=0), theirs, atol=0.05)


def test_as_many_particles_of_the_library_are_no_nearer_to_the_truth():
    np.random.seed(1)  # noqa: NPY002 — the library knows no other
    evidence = GAUSSIAN.exactly()[0]
    theirs = []
    for _ in SEEDS:
        run = particles.SMC(fk=spaces.Bootstrap(ssm=Walk(), data=GAUSSIAN.looks), N=VERSIONS)
        run.run()
        theirs.append(run.logLt)
    ours = [sum(chains.told(GAUSSIAN, VERSIONS, seed).log_evidence) for seed in SEEDS]

    spread = np.hypot(np.std(ours), np.std(theirs)) / len(SEEDS) ** 0.5
    assert np.mean(ours) == pytest.approx(np.mean(theirs), abs=3.5 * spread)
    assert np.sqrt(np.mean((np.array(ours) - evidence) ** 2)) < 2.0 * np.sqrt(
        np.mean((np.array(theirs) - evidence) ** 2)
    )


def test_hidden_states_come_out_with_the_chances_of_the_library():
    theirs = _forward().filt[-1]
    found = (
        np.array([np.bincount(chains.told(FINDS, 1024, seed).state.value.astype(int), minlength=3) for seed in SEEDS])
        / 1024
    )

    error = 3.5 * np.maximum(found.std(axis=0, ddof=1), 0.004) / len(SEEDS) ** 0.5
    assert (np.abs(found.mean(axis=0) - theirs) < error).all()

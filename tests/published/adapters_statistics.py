"""Rows of statistics.csv whose source asks for something our functions give in another form."""

from __future__ import annotations

import math

import numpy as np

from skimwright.trials import demonstration, scores, sure, tempering

PARTICLES = 8000


def _cloud(mu0: float, tau0: float, sigma: float, values: list[float]) -> tempering.Cloud:
    def fit(guesses: np.ndarray) -> np.ndarray:
        apart = (np.array(values) - guesses) / sigma
        return -0.5 * (apart**2).sum(axis=1) - len(values) * math.log(sigma * math.sqrt(2 * math.pi))

    middle, wide = np.array([mu0]), np.array([tau0])
    return tempering.temper(fit, middle=middle, wide=wide, seed=1, particles=PARTICLES)


def engine_mean(*, mu0: float, tau0: float, sigma: float, y1: float, y2: float, y3: float) -> float:
    return float(_cloud(mu0, tau0, sigma, [y1, y2, y3]).guesses.mean())


def engine_sd(*, mu0: float, tau0: float, sigma: float, y1: float, y2: float, y3: float) -> float:
    return float(_cloud(mu0, tau0, sigma, [y1, y2, y3]).guesses.std())


def engine_log_evidence(*, mu0: float, tau0: float, sigma: float, y1: float, y2: float, y3: float) -> float:
    return _cloud(mu0, tau0, sigma, [y1, y2, y3]).log_evidence


def engine_predictive_sd(*, mu0: float, tau0: float, sigma: float, y1: float, y2: float, y3: float) -> float:
    return math.hypot(float(_cloud(mu0, tau0, sigma, [y1, y2, y3]).guesses.std()), sigma)


def shrunk_mean(*, mu0: float, tau0: float, sigma: float, y1: float, y2: float, y3: float) -> float:
    own = (y1 + y2 + y3) / 3
    return sure.shrink(own_mean=own, own_sd=sigma / math.sqrt(3), fleet_mean=mu0, fleet_sd=tau0)[0]


def shrunk_sd(*, mu0: float, tau0: float, sigma: float, y1: float, y2: float, y3: float) -> float:
    own = (y1 + y2 + y3) / 3
    return sure.shrink(own_mean=own, own_sd=sigma / math.sqrt(3), fleet_mean=mu0, fleet_sd=tau0)[1]


def error_alone(*, run_sd: float, runs: float) -> float:
    return run_sd / math.sqrt(runs)


def error_shrunk(*, fleet_sd: float, run_sd: float, runs: float) -> float:
    own = run_sd / math.sqrt(runs)
    return sure.shrink(own_mean=0.0, own_sd=own, fleet_mean=0.0, fleet_sd=fleet_sd)[1]


def sbc_rank(*, sigma_sim: float, d1: float, d2: float, d3: float, d4: float) -> float:
    return float(scores.rank_of(sigma_sim, [d1, d2, d3, d4]))


def sbc_bin(*, rank: float, most: float, bins: float) -> float:
    return float(scores.bin_of(rank=int(rank), most=int(most), bins=int(bins)))


def crps_three(*, x1: float, x2: float, x3: float, y: float) -> float:
    return scores.crps_draws([x1, x2, x3], y)


def gate_percent(*, sd_deg: float, half_deg: float) -> float:
    return 100 * sure.gate_chance(bias=0.0, sd=sd_deg, half_width=half_deg)


def tries_percent(*, sd_deg: float, half_deg: float) -> float:
    one = sure.gate_chance(bias=0.0, sd=sd_deg, half_width=half_deg)
    return 100 * sure.chance_in_tries(one=one, tries=3)


def _passage(kit: str, device: str, mass_g: float) -> demonstration.Passage:
    return demonstration.law_run(mass=mass_g / 1000, kit=kit, device=device, gate=30.48)


def whirr_5_distance(*, mass_g: float) -> float:
    return _passage("Fold 62", "Whirr 5", mass_g).distance


def whirr_5_time(*, mass_g: float) -> float:
    return _passage("Fold 62", "Whirr 5", mass_g).gate_time


def whirr_7_distance(*, mass_g: float) -> float:
    return _passage("Fold 74", "Whirr 7", mass_g).distance


def whirr_7_time(*, mass_g: float) -> float:
    return _passage("Fold 74", "Whirr 7", mass_g).gate_time


def tug_distance(*, mass_g: float) -> float:
    return _passage("Fold 50", "Tug", mass_g).distance


def tug_top_speed(*, mass_g: float) -> float:
    return _passage("Fold 50", "Tug", mass_g).top_speed


def lantern_1_distance(*, mass_g: float) -> float:
    return _passage("Fold 62", "Lantern 1", mass_g).distance


def lantern_2_distance(*, mass_g: float) -> float:
    return _passage("Fold 62", "Lantern 2", mass_g).distance

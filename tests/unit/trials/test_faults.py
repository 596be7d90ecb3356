"""Single faults on 200 simulated boats: the true one among the first two in nine of ten."""

import numpy as np
import pytest

from skimwright.trials import Suspect, explain

DEGREE = np.pi / 180
CARD = {  # slope [m per unit], class spread, reading error or None
    "blade_yaw": (65.0, 0.7 * DEGREE, 0.2 * DEGREE),
    "balance_y": (350.0, 0.0018, 0.001),
    "device_y": (-480.0, 0.001, None),
    "pad_angle_left": (23.0, 0.6 * DEGREE, 0.2 * DEGREE),
    "pad_angle_right": (-23.0, 0.6 * DEGREE, 0.2 * DEGREE),
    "floor_twist": (20.0, 0.4 * DEGREE, 0.2 * DEGREE),
}


def suspects(readings):
    return {
        key: Suspect(
            words=key,
            slope=slope,
            class_sd=sd,
            reading=readings.get(key),
            reading_sd=error or 0.0,
            test=f"test {key}",
        )
        for key, (slope, sd, error) in CARD.items()
    }


def boat(rng, faulty):
    true = {key: sd * rng.standard_normal() for key, (_, sd, _) in CARD.items()}
    true[faulty] = CARD[faulty][1] * 4.0 * rng.choice([-1, 1]) * rng.uniform(0.8, 1.5)
    readings = {k: true[k] + e * rng.standard_normal() for k, (_, _, e) in CARD.items() if e is not None}
    drift = sum(CARD[k][0] * v for k, v in true.items()) + rng.normal(0, 1.2 / np.sqrt(3))
    return explain(suspects(readings), drift=drift, drift_sd=1.2 / np.sqrt(3), other_sd=0.5)


def test_the_true_fault_is_among_the_first_two_in_nine_of_ten():
    rng = np.random.default_rng(4)
    right = 0
    for number in range(200):
        faulty = list(CARD)[number % len(CARD)]
        right += faulty in [e.key for e in boat(rng, faulty).explanations[:2]]
    assert right >= 180


def test_chances_add_up_and_none_of_these_is_one():
    verdict = explain(suspects({}), drift=3.0, drift_sd=0.7, other_sd=0.5)
    assert sum(e.chance for e in verdict.explanations) == pytest.approx(1.0)
    assert "none of these" in [e.words for e in verdict.explanations]


def test_a_straight_card_and_a_large_drift_leave_none_of_these_or_what_was_not_measured():
    clean = {k: 0.0 for k, (_, _, e) in CARD.items() if e is not None}
    first = [e.key for e in explain(suspects(clean), drift=6.0, drift_sd=0.5, other_sd=0.5).explanations[:2]]
    assert set(first) <= {"none", "device_y"}


def test_two_faults_that_fit_alike_are_said_to_and_a_test_is_named():
    twins = {
        k: Suspect(words=k, slope=50.0, class_sd=0.01, test=f"measure {k}", minutes=m)
        for k, m in (("a", 9.0), ("b", 3.0))
    }
    verdict = explain(twins, drift=3.0, drift_sd=0.5, other_sd=0.3)
    assert verdict.alike
    assert verdict.test == "measure b"

"""A law known beforehand, without a run of the full model behind it."""

import numpy as np

from skimwright.trials.law import DIRECTIONS, Law


def plain_law(**changed):
    """Two lasting causes of the builder, one of the model; slopes of a plausible boat."""
    given = {
        "keys": ("push", "blade", "friction"),
        "words": ("the push", "the blade", "the friction"),
        "groups": ("device", "build", "model"),
        "turn": np.eye(DIRECTIONS),
        "middle": np.array([np.log(45.0), np.log(5.3), 0.2]),
        "slope": np.array([[0.07, 0.0, -0.06], [-0.05, 0.0, 0.03], [0.1, 1.2, 0.1]]),
        "bend": np.zeros((3, 6)),
        "windy": np.array([[0.05, -0.01], [-0.03, -0.01], [0.5, 4.0]]),
        "wind_middle": np.zeros(2),
        "wind_sd": np.array([0.1, 0.1]),
        "chance": np.diag([0.07, 0.05, 1.0]) ** 2,
        "known": np.ones(3, dtype=bool),
        "explained": np.ones(3),
        "moved": np.zeros((0, DIRECTIONS)),
    }
    return Law(**(given | changed))

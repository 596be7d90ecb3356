"""The physics, one file a model.  Call as ``planing.flat_lift(...)`` after ``from skimwright.physics import planing``."""

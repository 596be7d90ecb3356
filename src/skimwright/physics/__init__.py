"""The physics, one file a model.

Take a model by its module, ``from skimwright.physics import planing``, and call ``planing.flat_lift(...)``.
"""

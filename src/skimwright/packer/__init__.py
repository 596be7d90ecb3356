"""The packing library, kept in a process of its own so that its faults stay there."""

from skimwright.packer.child_packer import ChildPacker

__all__ = ["ChildPacker"]

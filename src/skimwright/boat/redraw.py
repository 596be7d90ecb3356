"""The same kit with a few of its numbers changed."""

from __future__ import annotations

from dataclasses import fields, replace

from skimwright.base import ConflictError
from skimwright.boat.plan import NOT_LENGTHS, Kit
from skimwright.boat.threepoint import three_point_joints, three_point_parts


def redrawn(kit: Kit, **numbers: float) -> Kit:
    """A kit drawn anew from its design with some numbers changed; glue, device and tolerances stay.

    Parameters
    ----------
    kit : Kit
    numbers : float
        By name in `Design`, SI.

    Raises
    ------
    ConflictError
        It is not drawn from a design alone, so nothing can be redrawn.

    Examples
    --------
    ``redrawn(fold_62, pad_angle=0.09).design.pad_angle`` is 0.09 rad.
    """
    if kit.design is None or kit.parts != three_point_parts(kit.design, kit.board):
        raise ConflictError(
            what=f"{kit.name} has parts of its own drawing", allowed="a kit drawn from its design's numbers alone",
            do="Take the own parts out of its file to let the program redraw it.",
        )  # fmt: skip
    design = replace(kit.design, **numbers)
    return replace(
        kit, design=design, parts=three_point_parts(design, kit.board),
        joints=three_point_joints(design, kit.board), contacts=(design.pad_contact, design.stern_contact),
    )  # fmt: skip


def printed_at(kit: Kit, share: float) -> Kit:
    """The kit as it comes from templates printed at another scale: all lengths but the board's thickness.

    Parameters
    ----------
    kit : Kit
    share : float, > 0
        0.97 for a printout at 97 %. [-]

    Raises
    ------
    ConflictError
        It has parts of its own drawing.
    """
    design = kit.design
    lengths = {} if design is None else {
        item.name: share * getattr(design, item.name) for item in fields(design) if item.name not in NOT_LENGTHS
    }  # fmt: skip
    return redrawn(kit, **lengths)

"""Sizes that cannot both be so."""

from __future__ import annotations

from skimwright.base import InputError, Where
from skimwright.boat.plan import Board, Design
from skimwright.boat.threepoint import rib_places, slopes


def _clash(first: str, second: str, got: str, allowed: str, do: str) -> InputError:
    return InputError(
        what="two sizes cannot both be so",
        got=got,
        allowed=allowed,
        do=do,
        where=Where(field=f"[design] {first} and {second}"),
    )


def in_mm(length: float) -> str:
    """A length for a message."""
    return f"{length * 1e3:.4g} mm"


def check_sizes(d: Design, board: Board) -> None:
    """Refuse sizes that contradict one another, naming both.

    Raises
    ------
    InputError
        Its field names the two keys; the reader adds the file.

    Examples
    --------
    Two sponsons of 141 mm on a beam of 280 mm are refused.
    """
    t = board.thickness
    if t > d.pod_width / 3:
        raise _clash(
            "thickness_mm",
            "pod_width_mm",
            f"board {in_mm(t)} thick, sponsons {in_mm(d.pod_width)} wide",
            "board up to a third of a sponson's width",
            "Take thinner board or wider sponsons.",
        )
    if 2 * d.pod_width + 4 * t > d.beam:
        raise _clash(
            "pod_width_mm",
            "beam_mm",
            f"two sponsons of {in_mm(d.pod_width)} on a beam of {in_mm(d.beam)}",
            "both sponsons and a hull of four board thicknesses within the beam",
            "The sponsons overlap: make them narrower or the boat wider.",
        )
    rising = (
        ("pod_front_mm", d.pod_front, "pod_rear_mm", d.pod_rear),
        ("pod_rear_mm", d.pod_rear, "rib_place_mm", d.rib_place),
        ("rib_place_mm", d.rib_place, "length_mm", d.length),
        ("pad_length_mm", d.pad_length, "pod_rear_mm less pod_front_mm", d.pod_rear - d.pod_front),
        ("pad_contact_mm", d.pad_contact, "stern_contact_mm", d.stern_contact),
        ("stern_contact_mm", d.stern_contact - 1e-9, "length_mm", d.length),
        ("floor_front_mm", d.floor_front, "deck_height_mm", d.deck_height - t),
        ("fin_seat_mm", d.fin_seat, "fin_height_mm", d.fin_height),
    )  # fmt: skip
    for low_key, low, high_key, high in rising:
        if low >= high:
            raise _clash(
                low_key,
                high_key,
                f"{in_mm(low)} and {in_mm(high)}",
                f"{low_key} less than {high_key}",
                "Correct the one that is wrong.",
            )
    _heights(d, t)


def _heights(d: Design, t: float) -> None:
    if d.pad_front_height + t >= d.floor_front:
        raise _clash(
            "pad_angle_deg",
            "floor_front_mm",
            f"the pad rises to {in_mm(d.pad_front_height)}, the ramp begins at {in_mm(d.floor_front)}",
            "the ramp's front at least a board's thickness above the pad's front",
            "Make the pad flatter or shorter, or the floor's front higher.",
        )
    if d.deck_tail + d.pod_rear > d.length:
        raise _clash(
            "deck_tail_mm",
            "length_mm",
            f"{in_mm(d.pod_rear + d.deck_tail)} and {in_mm(d.length)}",
            "the deck's tail ends before the transom",
            "Shorten the tail or lengthen the boat.",
        )
    _, ramp, _ = slopes(d, t)
    if ramp <= d.pad_angle:
        raise _clash(
            "pad_angle_deg",
            "floor_front_mm",
            "a ramp flatter than the pad behind it",
            "a ramp steeper than the pad",
            "Make the pad flatter or the floor's front higher.",
        )
    room = d.deck_height - t - d.blade_tab
    if d.floor_height(d.blade_place) > room or not d.pod_rear < d.blade_place < d.length - t:
        raise _clash(
            "blade_place_mm",
            "blade_tab_mm",
            f"{in_mm(d.blade_place)} and {in_mm(d.blade_tab)}",
            "between the sponsons and the transom, its tab below the deck",
            "Move the water fin or shorten its tab.",
        )
    for x in rib_places(d, t):
        if d.deck_height - 2 * t - d.floor_height(x) < t:
            raise _clash(
                "deck_height_mm",
                "floor_front_mm",
                f"{in_mm(d.deck_height)} and {in_mm(d.floor_front)}",
                "ribs at least a board's thickness high",
                "Raise the deck or lower the floor.",
            )

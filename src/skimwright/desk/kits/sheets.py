"""Lay so many boats of some kits on sheets of board, check the layout, keep it and read it back."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from skimwright.base import ConflictError, InputError, ModelError, Where
from skimwright.boat import Kit
from skimwright.kit import (
    Blank,
    BoardSheet,
    Laid,
    Nest,
    NestProgress,
    Placement,
    StripPacker,
    blanks,
    laid_on,
    nest_items,
    nest_parts,
    part_codes,
    sheets_along_grain,
    verify_nest,
)

GRAINS = {"long": "long side", "short": "short side", "none": "none"}


@dataclass(frozen=True, kw_only=True)
class Layout:
    """A checked nest, and what it was made from."""

    kits: tuple[tuple[Kit, int], ...]  # and how many boats of each
    nest: Nest
    grain: str
    kerf: float = 0.0  # [m]

    @property
    def blanks(self) -> dict[str, Blank]:
        """Every part by its name in the nest."""
        return blanks([kit for kit, _ in self.kits])

    @property
    def boats(self) -> int:
        """How many."""
        return sum(count for _, count in self.kits)

    @property
    def title(self) -> str:
        """``Fold 62, 6 boats``."""
        said = [f"{kit.name}, {count} boat{'s' if count > 1 else ''}" for kit, count in self.kits]
        return "; ".join(said)

    @property
    def editions(self) -> str:
        """``Fold 62 edition 994b2a``, for the foot of every page."""
        return ", ".join(f"{kit.name} edition {kit.edition}" for kit, _ in self.kits)

    def laid(self) -> tuple[tuple[tuple[Laid, ...], BoardSheet], ...]:
        """What lies on each sheet."""
        parts = self.blanks
        return tuple((laid_on(self.nest, i, parts), sheet) for i, sheet in enumerate(self.nest.sheets))


def lay_out(
    kits: Sequence[tuple[Kit, int]],
    *,
    packer: StripPacker,
    sheet: tuple[float, float] | None = None,
    margin: float = 0.005,
    gap: float = 0.003,
    kerf: float = 0.0,
    grain: str | None = None,
    seconds: float = 60.0,
    seed: int = 1,
    progress: Callable[[NestProgress], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Layout:
    """Nest and check; the checking knows nothing of how the layout came about.

    Parameters
    ----------
    kits : sequence of (Kit, int)
        And how many boats of each.
    sheet : (float, float), optional
        Long side and short side; the first kit's own sizes if not given. [m]
    margin, gap, kerf : float
        Along the edges, between parts, and the width of the cut. [m]
    grain : str, optional
        ``"long side"``, ``"short side"`` or ``"none"``; the kit file's word if not given.

    Raises
    ------
    InputError
        The question is hopeless, or the board's grain must be known and is not.
    ConflictError
        Kits of different board.
    ModelError
        No layout, or one that fails its check.
    """
    first = kits[0][0]
    for kit, _ in kits[1:]:
        if abs(kit.board.thickness - first.board.thickness) > 1e-6:
            raise ConflictError(
                what=f"{first.name} is of {first.board.thickness * 1e3:g} mm board and {kit.name} of "
                f"{kit.board.thickness * 1e3:g} mm",
                do="Nest them one after the other.",
            )
    known = next((kit.board.grain for kit, _ in kits if kit.board.grain != "unknown"), "unknown")
    way = grain or known
    nest = nest_parts(
        nest_items(kits, grain=way),
        sheets_along_grain([sheet] if sheet else first.board.sheets, grain=way),
        packer=packer,
        margin=margin,
        gap=gap,
        kerf=kerf,
        seconds=seconds,
        seed=seed,
        progress=progress,
        stop=stop,
    )
    if faults := verify_nest(nest):
        raise ModelError(
            what="The layout failed its check",
            got=f"{len(faults)} faults, the first: {faults[0].what.rstrip('.')}",
            do="Try another seed, and report this: it should not happen.",
        )
    return Layout(kits=tuple(kits), nest=nest, grain=way, kerf=kerf)


def layout_as_data(layout: Layout) -> dict[str, Any]:
    """The layout for a file or for --json; `saved_layout` reads it."""
    nest = layout.nest
    return {
        "kits": [
            {"kit": kit.name, "edition": kit.edition, "boats": count, "parts": part_codes(kit)}
            for kit, count in layout.kits
        ],
        "sheets": len(nest.sheets),
        "lower_bound": nest.lower_bound,
        "proof": nest.proof,
        "use": [round(share, 4) for share in nest.use],
        "sheet_mm": [[round(s.width * 1e3, 3), round(s.height * 1e3, 3)] for s in nest.sheets],
        "margin_mm": round(nest.margin * 1e3, 4),
        "gap_mm": round(nest.gap * 1e3, 4),
        "kerf_mm": round(layout.kerf * 1e3, 4),
        "grain": layout.grain,
        "placements": [
            {
                "part": p.key,
                "sheet": p.sheet + 1,
                "x_mm": round(p.x * 1e3, 4),
                "y_mm": round(p.y * 1e3, 4),
                "turn_deg": p.turn,
            }
            for p in nest.placements
        ],
    }


def saved_layout(data: Mapping[str, Any], kits: Sequence[Kit], *, file: str) -> Layout:
    """A layout as `layout_as_data` wrote it, if it still fits the drawings.

    Raises
    ------
    InputError
        Not such a file, or a layout that cannot be cut.
    ConflictError
        A kit was changed after the layout was made; the message lists the parts to print again.
    """
    where = Where(file=file)
    try:
        counts = {str(entry["kit"]): entry for entry in data["kits"]}
        sizes = [BoardSheet(width=_metres(w), height=_metres(h)) for w, h in data["sheet_mm"]]
        placements = tuple(
            Placement(
                key=str(p["part"]),
                sheet=int(p["sheet"]) - 1,
                x=_metres(p["x_mm"]),
                y=_metres(p["y_mm"]),
                turn=_number(p["turn_deg"], most=360.0),
            )
            for p in data["placements"]
        )
        margin, gap, kerf = (_metres(data[key]) for key in ("margin_mm", "gap_mm", "kerf_mm"))
        grain, lower, proof = str(data["grain"]), int(data["lower_bound"]), str(data["proof"])
        use = tuple(float(share) for share in data["use"])
        boats = {name: int(entry["boats"]) for name, entry in counts.items()}
    except (KeyError, TypeError, ValueError, AttributeError) as fault:
        raise InputError(
            what="not a layout",
            got=f"something missing or odd: {fault}",
            allowed="the sheets.json that `skimwright sheets` writes",
            do="Run `skimwright sheets` again.",
            where=where,
        ) from fault
    names = {kit.name for kit in kits}
    if names != set(counts):
        raise ConflictError(
            what=f"it holds {', '.join(counts)}, and {', '.join(sorted(names))} is asked for",
            do="Name the kits that the layout was made from.",
            where=where,
        )
    for kit in kits:
        _refuse_changed(kit, counts[kit.name], where)
    pairs = tuple((kit, boats[kit.name]) for kit in kits)
    nest = Nest(
        items=nest_items(pairs, grain=grain),
        sheets=tuple(sizes),
        placements=placements,
        margin=margin,
        gap=gap,
        lower_bound=lower,
        proof=proof,
        use=use,
    )
    if faults := verify_nest(nest):
        raise InputError(
            what="the layout cannot be cut",
            got=f"{len(faults)} faults, the first: {faults[0].what.rstrip('.')}",
            do="Run `skimwright sheets` again.",
            where=where,
        )
    return Layout(kits=pairs, nest=nest, grain=grain, kerf=kerf)


def _metres(millimetres: Any) -> float:
    """A length that a sheet of board can have. [m]"""
    return _number(millimetres, most=5000.0) / 1e3


def _number(given: Any, *, most: float) -> float:
    value = float(given)
    if not abs(value) <= most:
        raise ValueError(f"{given}")
    return value


def _refuse_changed(kit: Kit, entry: Mapping[str, Any], where: Where) -> None:
    if entry.get("edition") == kit.edition:
        return
    before, now = entry.get("parts") or {}, part_codes(kit)
    changed = [name for name in now if before.get(name) != now[name]]
    gone = [name for name in before if name not in now]
    said = (
        f"changed parts: {', '.join(changed)}" if changed else "no single part changed, only how they stand"
    )
    raise ConflictError(
        what=f"{kit.name} was edited after this layout was made",
        got=f"edition {kit.edition}, layout of edition {entry.get('edition')}; {said}"
        + (f"; parts no longer there: {', '.join(gone)}" if gone else ""),
        do="Run `skimwright sheets` again and print those parts anew.",
        where=where,
    )

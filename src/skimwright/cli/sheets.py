"""``skimwright sheets KIT...``: parts on sheets of board, true-size templates, cutter files."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from skimwright.cli.nesting_options import (
    BOATS,
    GAP,
    GRAIN,
    KITS,
    LENGTH,
    MARGIN,
    SECONDS,
    SEED,
    SHEET,
    kits_meant,
    nest_settings,
    one_of,
    size_mm,
)
from skimwright.cli.stopping import stoppable
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb

if TYPE_CHECKING:
    from skimwright.desk import Layout


def answer(ask: Ask) -> Answer:
    """Nest, check, and write the sheets, their cutter files and the cutting order."""
    from skimwright import desk

    given = ask.given
    with stoppable(ask, best="layout") as stop:
        layout = desk.lay_out(
            kits_meant(ask),
            margin=given["margin_mm"],
            gap=given["gap_mm"],
            kerf=given["kerf_mm"],
            stop=stop,
            **nest_settings(ask),
        )
    files = write_sheets(ask, layout, Path(given["out"]), bed=given["bed"], dxf=given["dxf"])
    data = {**desk.layout_as_data(layout), "checked": True, "files": [str(path) for path in files]}
    return Answer(data=data, text=as_text(layout, files), plain=plain(layout))


def write_sheets(
    ask: Ask, layout: Layout, folder: Path, *, bed: tuple[float, float] | None = None, dxf: str = "r2010"
) -> list[Path]:
    """The layout, true-size pages, a drawing of each sheet, files for machines, the cutting order."""
    import json

    from skimwright import desk

    files = ask.files
    cut = desk.cutter_sheets(layout, bed=bed)  # refuses an absurd bed before anything is written
    kept = json.dumps(desk.layout_as_data(layout), ensure_ascii=False, indent=1)
    made = [files.write(folder / "sheets.json", kept + "\n")]
    drawings = [template.drawing for template in desk.templates(layout)]
    made.append(files.write(folder / "sheets.pdf", files.as_pdf(drawings, language="en", title=layout.title)))
    for number, drawing in enumerate(drawings, start=1):
        made.append(files.write(folder / f"sheet-{number}.svg", files.as_svg(drawing)))
    for sheet in cut:
        name = file_name(sheet.name)
        made.append(files.write(folder / "cutter" / f"{name}.svg", files.as_cutter_svg(sheet)))
        unit = "" if dxf == "r2010" else "-mm"  # the old form cannot say its unit inside
        made.append(files.write(folder / "cutter" / f"{name}{unit}.dxf", files.as_cutter_dxf(sheet, dxf)))
    order = files.as_pdf(desk.cutting_order(layout), language="en", title=f"Cutting order, {layout.title}")
    made.append(files.write(folder / "cutting-order.pdf", order))
    return made


def file_name(title: str) -> str:
    """``sheet-1-of-2`` or ``sheet-1-of-2-piece-A3`` from a cutter sheet's name."""
    return "-".join(title[title.rindex("sheet ") :].replace(",", "").split())


def as_text(layout: Layout, files: list[Path]) -> str:
    """How many sheets, why that is the least, what was checked and written."""
    nest = layout.nest
    rows = [
        [str(n), f"{sheet.width * 1e3:g} x {sheet.height * 1e3:g}", str(len(laid)), f"{100 * nest.use[n - 1]:.1f}"]
        for n, (laid, sheet) in enumerate(layout.laid(), start=1)
    ]  # fmt: skip
    count = len(nest.sheets)
    kits = [
        f"{kit.name}, edition {kit.edition}: {boats} boat{'s' if boats > 1 else ''}, {boats * len(kit.parts)} parts"
        for kit, boats in layout.kits
    ]
    return "\n".join(
        [
            *kits,
            "",
            table(["sheet", "mm", "parts", "use %"], rows),
            "",
            f"{count} sheet{'s' if count > 1 else ''}. {nest.proof}",
            f"Checked apart from the packing: every part lies there once for each boat, {nest.margin * 1e3:g} mm from "
            f"the edges or more, and {nest.gap * 1e3:g} mm from the next or more.",
            f"Written: {len(files)} files in {files[0].parent}. sheets.pdf is true to size; `skimwright print` puts it "
            "on A4 or Letter.",
            "All parts lie outer face up. A machine cuts square: slanted edges are trimmed by hand to the marks.",
        ]
    )


def plain(layout: Layout) -> str:
    """One line."""
    count, least = len(layout.nest.sheets), layout.nest.lower_bound
    return f"{layout.title}: {count} sheet{'s' if count > 1 else ''}, at least {least} needed"


OUT = Option(flag="--out", value="DIR", does="folder to write into; sheets unless given", usual="sheets")
VERB = Verb(
    name="sheets",
    does="lay the parts on sheets of board; templates and cutter files",
    tells="Parts keep their true shape, so fewer sheets do than boxes would need. The answer says how few could ever "
    "do. Ctrl-C once keeps the best layout so far.",
    options=(
        replace(KITS, must=True),
        BOATS,
        SHEET,
        MARGIN,
        GAP,
        Option(flag="--kerf-mm", value="K", does="width of a machine's cut; 0 unless given", read=LENGTH, usual=0.0),
        GRAIN,
        SECONDS,
        SEED,
        Option(flag="--bed", value="LxW", does="bed of the cutter in mm, if smaller than a sheet", read=size_mm),
        Option(flag="--dxf", value="V", does="r2010, or r12 for old machines",
               read=one_of("r2010", "r12"), usual="r2010"),
        OUT,
    ),
    example='sheets "Fold 62" --boats 6 --sheet 841x594',
    answer=answer,
)  # fmt: skip

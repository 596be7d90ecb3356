"""``skimwright thrust FILE``: a thrust-stand recording to figures and a device file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb, quantity

MASS = quantity("mass", "g", low=0, high=2000)


def answer(ask: Ask) -> Answer:
    """Figures of one recording; a device file if asked for."""
    from skimwright import desk

    path = Path(ask.given["file"])
    recording = desk.read_recording(
        ask.files.grid(path),
        file=path.name,
        name=ask.given["name"] or path.stem,
        loaded_mass=ask.given["loaded_g"],
        spent_mass=ask.given["spent_g"],
    )
    files = []
    if ask.given["write"]:
        files.append(str(ask.files.write_table(Path(ask.given["write"]), recording.device)))
    f = recording.figures
    data: dict[str, Any] = {
        "total_impulse_n_s": f.total_impulse,
        "burn_time_s": f.burn_time,
        "average_thrust_n": f.average_thrust,
        "peak_thrust_n": f.peak_thrust,
        "peak_time_s": f.peak_time,
        "letter_class": f.letter_class,
        "points": recording.points,
        "device": recording.device,
        "files": files,
        "findings": [finding.as_dict() for finding in recording.findings],
    }
    rows = [
        ["total impulse", f"{f.total_impulse:.3g}", "N s"],
        ["burn time", f"{f.burn_time:.3g}", "s (between the two points at 5 % of the peak)"],
        ["average thrust", f"{f.average_thrust:.3g}", "N"],
        ["peak thrust", f"{f.peak_thrust:.3g}", f"N, {f.peak_time:.3g} s after the first row"],
    ]
    lines = [
        f"{path.name}: {recording.points} points, letter class {f.letter_class}",
        "",
        table(["", "", ""], rows).strip("\n"),
        "",
        "Two devices of one kind differ by about 10 % in impulse: record three before you trust one.",
    ]
    lines += [f"Written: {name}" for name in files]
    plain = (
        f"{path.name}: {f.total_impulse:.3g} N s in {f.burn_time:.3g} s, "
        f"peak {f.peak_thrust:.3g} N, class {f.letter_class}"
    )
    return Answer(data=data, text="\n".join(lines), plain=plain, findings=recording.findings)


VERB = Verb(
    name="thrust",
    does="a thrust-stand recording to figures and a device file",
    tells="FILE is a CSV list with the columns time_s and force_n.",
    options=(
        Option(flag="FILE", does="the recording", must=True),
        Option(flag="--name", value="NAME", does="what to call the device; the file's name unless given"),
        Option(flag="--loaded-g", value="M", does="mass of the device before the push", read=MASS),
        Option(flag="--spent-g", value="M", does="mass of the device after it", read=MASS),
        Option(flag="--write", value="FILE", does="write the device file, such as devices/ours.toml"),
    ),
    example="thrust stand.csv --loaded-g 26 --spent-g 14 --write devices/ours.toml",
    answer=answer,
)

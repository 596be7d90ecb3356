"""The demonstration season's run log: three invented runs a boat, and the slips people make in writing them down."""

from __future__ import annotations

import datetime
from dataclasses import replace

from skimwright.boat import spread
from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.seasons.season import Season
from skimwright.desk.trials.log_run import as_row
from skimwright.trials import DEMO_SEED, SEVERAL, Event, Invented, invent_runs

RUNS_A_BOAT = 3
DEGREE = 0.017453292519943295
TRUE_MASS = {20: 0.382}  # written down in ounces on its card [kg]
HOOKED_BOATS, FLIPPING_BOATS = (14, 16), (18,)


def invented(entry: Entry, season: Season) -> Invented:
    """A boat of the season as the demonstration law sees it."""
    card = {name: s.mean for name, s in spread(entry.built, kit=season.kit_of(entry)).items()}
    return Invented(
        number=entry.number,
        kit=entry.kit,
        device=entry.device,
        mass=TRUE_MASS.get(entry.number, card["mass"]),
        blade_yaw=card["blade_yaw"],
        pad_left=card["pad_angle_left"],
        pad_right=card["pad_angle_right"],
        balance_y=card["balance_y"],
        water_gain=card["water_gain"],
        hooks=0.08 if entry.number in HOOKED_BOATS else 0.03,
        flips=entry.number in FLIPPING_BOATS,
    )


def demo_rows(season: Season, *, seed: int = DEMO_SEED) -> list[dict[str, str]]:
    """Every row of the demonstration season's ``runs.csv``, slips and all."""
    rows = []
    for entry in season.boats:
        gate = season.groups[entry.group].gate
        boat = invented(entry, season)
        events = list(_runs(boat, gate.distance, gate.width, season, seed))
        if entry.number == 11:  # its blade is straightened by 1 deg before the third run
            mended = replace(boat, blade_yaw=boat.blade_yaw - 1.0 * DEGREE)
            events[2] = _changed(
                _runs(mended, gate.distance, gate.width, season, seed)[2], "blade 1 deg to port"
            )
        if entry.number == 16:
            events[2] = _changed(events[2], SEVERAL)
        rows += [as_row(event) for event in events]
    return _with_slips(sorted(rows, key=lambda row: (row["time"], row["boat"])))


def _runs(boat: Invented, gate: float, width: float, season: Season, seed: int) -> tuple[Event, ...]:
    heading = season.conditions.heading
    return invent_runs(boat, gate=gate, width=width, runs=RUNS_A_BOAT, seed=seed, heading=heading)


def _changed(event: Event, change: str) -> Event:
    return replace(event, result=replace(event.result, change=change))


def _later(time: str, *, hours: int) -> str:
    return (datetime.datetime.fromisoformat(time) + datetime.timedelta(hours=hours)).isoformat()


def _with_slips(rows: list[dict[str, str]]) -> list[dict[str, str]]:
    """What people do: each slip of the bad-data pack that a run log can have, once."""
    found = []
    for row in rows:
        where = (row["boat"], row["run"])
        if where == ("08", "2"):
            row["gate_time_s"] = f"{10 * float(row['gate_time_s']):.1f}"  # 50.5 for 5.05
        if where == ("12", "3"):
            row["distance_m"] = f"{float(row['distance_m']) / 0.3048:.0f}"  # in feet
        if where == ("15", "1"):
            row["drift_m"] = ""  # nobody stood at the gate
        if where == ("10", "1"):
            row["distance_m"] = row["distance_m"].replace(".", ",")
        if where == ("09", "3"):
            row["run"] = "4"  # the double tap before took number 3
        found.append(row)
        if where == ("09", "2"):
            found.append(row | {"run": "3", "time": row["time"][:-2] + "07"})  # a double tap
        if where == ("17", "1"):  # a second phone, its clock two hours ahead
            found.append(row | {"phone": "finish", "time": _later(row["time"], hours=2)})
        if where == ("03", "2"):
            found.append(row | {"boat": "31", "run": "1"})
    return found

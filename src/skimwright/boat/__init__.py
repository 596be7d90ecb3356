"""The boat as drawn and as built: parts, skins, mass, and what the run model sees.

Draw: `read_kit_table` makes a `Kit`.  Skins: `outer_shell`, `sealed_spaces`, `all_shells`.
Mass: `board_mass`, `total_mass`.  As built: `AsBuilt`, `spread`, `with_measured`.
Run: `running_form`.
"""

from skimwright.boat.built import AsBuilt, Spread, spread, with_measured
from skimwright.boat.check import kit_findings
from skimwright.boat.clash import part_clashes
from skimwright.boat.form import Deck, Fin, Plate, RunningForm, Tunnel
from skimwright.boat.mass import MassProperties, board_mass, sum_masses, total_mass
from skimwright.boat.plan import AddedMass, Board, Design, Joint, Kit, Part, Place, Slot, Thrust, Tolerances
from skimwright.boat.read import read_kit_table
from skimwright.boat.redraw import printed_at, redrawn
from skimwright.boat.running import running_form
from skimwright.boat.shells import Shell, all_shells, outer_shell, part_shell, sealed_spaces

__all__ = [
    "AddedMass",
    "AsBuilt",
    "Board",
    "Deck",
    "Design",
    "Fin",
    "Joint",
    "Kit",
    "MassProperties",
    "Part",
    "Place",
    "Plate",
    "RunningForm",
    "Shell",
    "Slot",
    "Spread",
    "Thrust",
    "Tolerances",
    "Tunnel",
    "all_shells",
    "board_mass",
    "kit_findings",
    "outer_shell",
    "part_clashes",
    "part_shell",
    "printed_at",
    "read_kit_table",
    "redrawn",
    "running_form",
    "sealed_spaces",
    "spread",
    "sum_masses",
    "total_mass",
    "with_measured",
]

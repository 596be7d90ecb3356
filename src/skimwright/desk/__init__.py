"""What a person can ask, one function each.  Pure: files, clock and chance come in as arguments."""

from skimwright.boat import Kit
from skimwright.desk.boat_list import Entry
from skimwright.desk.float_boat import Floating, float_as_built, float_kit
from skimwright.desk.season import Conditions, Group, Season, Site, read_season
from skimwright.desk.shape import PartLine, Shape, describe_shape, read_kit
from skimwright.desk.tables import Row, Rows, SeasonTables
from skimwright.desk.thrust_record import Recording, read_recording

__all__ = [
    "Conditions",
    "Entry",
    "Floating",
    "Group",
    "Kit",
    "PartLine",
    "Recording",
    "Row",
    "Rows",
    "Season",
    "SeasonTables",
    "Shape",
    "Site",
    "describe_shape",
    "float_as_built",
    "float_kit",
    "read_kit",
    "read_recording",
    "read_season",
]

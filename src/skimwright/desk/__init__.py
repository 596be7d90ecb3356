"""What a person can ask, one function each.  Pure: files, clock and chance come in as arguments."""

from skimwright.boat import Kit
from skimwright.desk.boat_list import Entry
from skimwright.desk.cite import Cited, all_sources, sources_of_forecast
from skimwright.desk.float_boat import Floating, float_as_built, float_kit
from skimwright.desk.pond_map import PondMap
from skimwright.desk.season import Group, Season, Site, read_season
from skimwright.desk.selfcheck import Checked, check_all, finding_of
from skimwright.desk.shape import PartLine, Shape, describe_shape, read_kit
from skimwright.desk.tables import Row, Rows, SeasonTables
from skimwright.desk.thrust_record import Recording, read_recording

__all__ = [
    "Checked",
    "Cited",
    "Entry",
    "Floating",
    "Group",
    "Kit",
    "PartLine",
    "PondMap",
    "Recording",
    "Row",
    "Rows",
    "Season",
    "SeasonTables",
    "Shape",
    "Site",
    "all_sources",
    "check_all",
    "describe_shape",
    "finding_of",
    "float_as_built",
    "float_kit",
    "read_kit",
    "read_recording",
    "read_season",
    "sources_of_forecast",
]

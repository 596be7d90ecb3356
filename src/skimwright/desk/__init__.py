"""What a person can ask, one function each.  Pure: files, clock and chance come in as arguments."""

from skimwright.desk.boat_list import Entry
from skimwright.desk.season import Conditions, Group, Season, Site, read_season
from skimwright.desk.tables import Row, Rows, SeasonTables

__all__ = [
    "Conditions",
    "Entry",
    "Group",
    "Row",
    "Rows",
    "Season",
    "SeasonTables",
    "Site",
    "read_season",
]

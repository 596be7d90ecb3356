"""What a person can ask, one function each.  Pure: files, clock and chance come in as arguments."""

from skimwright.boat import Kit
from skimwright.desk.boat_list import Entry
from skimwright.desk.boat_page import boat_page, page_name, pictures_of, stopped_page
from skimwright.desk.cite import Cited, all_sources, sources_of_forecast
from skimwright.desk.float_boat import Floating, float_as_built, float_kit
from skimwright.desk.forecast_boat import (
    DEVICE_CLOSED,
    BoatForecast,
    Look,
    forecast_boat,
    question_about,
    question_for_kit,
)
from skimwright.desk.pond_map import PondMap
from skimwright.desk.season import Group, Season, Site, read_season
from skimwright.desk.season_page import season_page
from skimwright.desk.selfcheck import Checked, check_all, finding_of
from skimwright.desk.shape import PartLine, Shape, describe_shape, read_kit
from skimwright.desk.tables import Row, Rows, SeasonTables
from skimwright.desk.thrust_record import Recording, read_recording
from skimwright.desk.words import share, sideways, sideways_span, span, turn
from skimwright.physics.thrust import read_device_table as read_device
from skimwright.pond import Conditions, Gate
from skimwright.run import Range, forecast

__all__ = [
    "DEVICE_CLOSED",
    "BoatForecast",
    "Checked",
    "Cited",
    "Conditions",
    "Entry",
    "Floating",
    "Gate",
    "Group",
    "Kit",
    "Look",
    "PartLine",
    "PondMap",
    "Range",
    "Recording",
    "Row",
    "Rows",
    "Season",
    "SeasonTables",
    "Shape",
    "Site",
    "all_sources",
    "boat_page",
    "check_all",
    "describe_shape",
    "finding_of",
    "float_as_built",
    "float_kit",
    "forecast",
    "forecast_boat",
    "page_name",
    "pictures_of",
    "question_about",
    "question_for_kit",
    "read_device",
    "read_kit",
    "read_recording",
    "read_season",
    "season_page",
    "share",
    "sideways",
    "sideways_span",
    "sources_of_forecast",
    "span",
    "stopped_page",
    "turn",
]

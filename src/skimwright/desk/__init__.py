"""What a person can ask, one function each.  Pure: files, clock and chance come in as arguments."""

from skimwright.boat import Kit
from skimwright.desk.bags import bags_of_kit, bags_of_season
from skimwright.desk.boat_list import Entry
from skimwright.desk.boat_page import boat_page, page_name, pictures_of, stopped_page
from skimwright.desk.cite import Cited, all_sources, sources_of_forecast
from skimwright.desk.course import CoursePlan, CourseQuestion, Post, lay_course, plan_course
from skimwright.desk.course_log import read_logged_runs
from skimwright.desk.course_map import course_map
from skimwright.desk.course_page import bearing, chance, course_page, posts_page
from skimwright.desk.float_boat import Floating, float_as_built, float_kit
from skimwright.desk.forecast_boat import (
    DEVICE_CLOSED,
    BoatForecast,
    Look,
    forecast_boat,
    question_about,
    question_for_kit,
)
from skimwright.desk.guide import GuideAsk, MadeGuide, make_guide, step_data
from skimwright.desk.hold import Event, State, holds_text, moment, read_event, read_holds, state_at
from skimwright.desk.learn import BoatLearned, learn_boat
from skimwright.desk.limits import (
    LimitsCard,
    SiteLimits,
    Steadiness,
    limits_card,
    limits_page,
    read_site_limits,
    steadiness,
)
from skimwright.desk.log_run import RUN_COLUMNS, Logged, RunLog, log_paper, log_run, read_runs
from skimwright.desk.lots import Entries, Lots, RaceEntry, Step, draw_entries, read_entries
from skimwright.desk.order import (
    boats_of_season,
    devices_of_season,
    order_for,
    prices_from_table,
    read_prices,
)
from skimwright.desk.permit import permission_sheets, read_grants, sheet_page
from skimwright.desk.points import DayPoints, GroupPoints, day_points, read_points_table
from skimwright.desk.pond_map import PondMap, pond_as_geojson, read_geojson, read_pond
from skimwright.desk.results import read_results
from skimwright.desk.season import Group, Season, Site, read_season
from skimwright.desk.season_page import season_page
from skimwright.desk.selfcheck import Checked, check_all, finding_of
from skimwright.desk.shape import PartLine, Shape, describe_shape, read_kit
from skimwright.desk.sheets import GRAINS, Layout, lay_out, layout_as_data, saved_layout
from skimwright.desk.tables import Row, Rows, SeasonTables
from skimwright.desk.templates import (
    BarReading,
    cutter_sheets,
    cutting_order,
    part_templates,
    read_bar,
    refuse_other_edition,
    templates,
)
from skimwright.desk.thrust_record import Recording, read_recording
from skimwright.desk.words import share, sideways, sideways_span, span, turn
from skimwright.kit import (
    Bag,
    CutLine,
    CutSheet,
    CutWord,
    NestProgress,
    Order,
    Prices,
    StripPacker,
    Template,
    WeighedSheets,
    check_bag,
    order_page,
    weigh_sheets,
    with_board,
)
from skimwright.physics.thrust import read_device_table as read_device
from skimwright.pond import Conditions, Gate
from skimwright.regatta import TABLES as points_tables
from skimwright.run import Range, forecast

__all__ = [
    "DEVICE_CLOSED",
    "GRAINS",
    "RUN_COLUMNS",
    "Bag",
    "BarReading",
    "BoatForecast",
    "BoatLearned",
    "Checked",
    "Cited",
    "Conditions",
    "CoursePlan",
    "CourseQuestion",
    "CutLine",
    "CutSheet",
    "CutWord",
    "DayPoints",
    "Entries",
    "Entry",
    "Event",
    "Floating",
    "Gate",
    "Group",
    "GroupPoints",
    "GuideAsk",
    "Kit",
    "Layout",
    "LimitsCard",
    "Logged",
    "Look",
    "Lots",
    "MadeGuide",
    "NestProgress",
    "Order",
    "PartLine",
    "PondMap",
    "Post",
    "Prices",
    "RaceEntry",
    "Range",
    "Recording",
    "Row",
    "Rows",
    "RunLog",
    "Season",
    "SeasonTables",
    "Shape",
    "Site",
    "SiteLimits",
    "State",
    "Steadiness",
    "Step",
    "StripPacker",
    "Template",
    "WeighedSheets",
    "all_sources",
    "bags_of_kit",
    "bags_of_season",
    "bearing",
    "boat_page",
    "boats_of_season",
    "chance",
    "check_all",
    "check_bag",
    "course_map",
    "course_page",
    "cutter_sheets",
    "cutting_order",
    "day_points",
    "describe_shape",
    "devices_of_season",
    "draw_entries",
    "finding_of",
    "float_as_built",
    "float_kit",
    "forecast",
    "forecast_boat",
    "holds_text",
    "lay_course",
    "lay_out",
    "layout_as_data",
    "learn_boat",
    "limits_card",
    "limits_page",
    "log_paper",
    "log_run",
    "make_guide",
    "moment",
    "order_for",
    "order_page",
    "page_name",
    "part_templates",
    "permission_sheets",
    "pictures_of",
    "plan_course",
    "points_tables",
    "pond_as_geojson",
    "posts_page",
    "prices_from_table",
    "question_about",
    "question_for_kit",
    "read_bar",
    "read_device",
    "read_entries",
    "read_event",
    "read_geojson",
    "read_grants",
    "read_holds",
    "read_kit",
    "read_logged_runs",
    "read_points_table",
    "read_pond",
    "read_prices",
    "read_recording",
    "read_results",
    "read_runs",
    "read_season",
    "read_site_limits",
    "refuse_other_edition",
    "saved_layout",
    "season_page",
    "share",
    "sheet_page",
    "sideways",
    "sideways_span",
    "sources_of_forecast",
    "span",
    "state_at",
    "steadiness",
    "step_data",
    "stopped_page",
    "templates",
    "turn",
    "weigh_sheets",
    "with_board",
]

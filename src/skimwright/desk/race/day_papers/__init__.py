"""Paper for the day: heat sheets, call board, cards, the pack for a day without electricity, run log, queue."""

from skimwright.desk.race.day_papers.call_board import FIGURES, call_boards, crew_cards, figures_tall
from skimwright.desk.race.day_papers.heat_sheet import blank_heat_sheets, heat_sheets
from skimwright.desk.race.day_papers.heats import PaperBoat, PaperDay, PaperHeat
from skimwright.desk.race.day_papers.join import has_ticks, pack_for, paper_day, queue_rules
from skimwright.desk.race.day_papers.lane_signs import lane_sign
from skimwright.desk.race.day_papers.pack import PackAsk, day_pack, order_of_heats, talk_sheet
from skimwright.desk.race.day_papers.pit_cards import reweigh_cards
from skimwright.desk.race.day_papers.points_pages import multiplied_out, points_page, score_sheets
from skimwright.desk.race.day_papers.pond_side import QueueRule, queue_sheets, run_logs

__all__ = [
    "FIGURES",
    "PackAsk",
    "PaperBoat",
    "PaperDay",
    "PaperHeat",
    "QueueRule",
    "blank_heat_sheets",
    "call_boards",
    "crew_cards",
    "day_pack",
    "figures_tall",
    "has_ticks",
    "heat_sheets",
    "lane_sign",
    "multiplied_out",
    "order_of_heats",
    "pack_for",
    "paper_day",
    "points_page",
    "queue_rules",
    "queue_sheets",
    "reweigh_cards",
    "run_logs",
    "score_sheets",
    "talk_sheet",
]

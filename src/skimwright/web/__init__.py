"""The workbench: every capability as a page, at a desk and on a phone at the pond.

`serve` shows a season until stopped; `workbench` is the application alone.
"""

from skimwright.web.house import House
from skimwright.web.jobs import ANYONE, COOKIE, JOBS, ORGANISER, STAFF, VISITOR, Keys, Ticket
from skimwright.web.places import all_doors
from skimwright.web.serve import serve
from skimwright.web.site import workbench

__all__ = [
    "ANYONE",
    "COOKIE",
    "JOBS",
    "ORGANISER",
    "STAFF",
    "VISITOR",
    "House",
    "Keys",
    "Ticket",
    "all_doors",
    "serve",
    "workbench",
]

"""The report: a show's whole plan as pages of HTML that need no network and no script."""

from planner.pages.report.chances import driven_of
from planner.pages.report.followed import Followed, Stands
from planner.pages.report.matter import Matter, matter_of
from planner.pages.report.page import SECTIONS, report_html, report_pages
from planner.pages.report.section import Section

__all__ = [
    "SECTIONS",
    "Followed",
    "Matter",
    "Section",
    "Stands",
    "driven_of",
    "matter_of",
    "report_html",
    "report_pages",
]

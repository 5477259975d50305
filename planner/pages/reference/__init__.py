"""The reference: every fact a show may state, and every formula, read from where they are held.

Takes schemas, the source of the arithmetic and the text of its checks, gives pages of HTML that
need no network and no script. Knows nothing of shows.
"""

from planner.pages.reference.facts import FactsPage, facts_pages
from planner.pages.reference.formulas import Formula, formulas_in, module_says
from planner.pages.reference.marks import Check, checks_in
from planner.pages.reference.page import Room, facts_html, formulas_html

__all__ = [
    "Check",
    "FactsPage",
    "Formula",
    "Room",
    "checks_in",
    "facts_html",
    "facts_pages",
    "formulas_html",
    "formulas_in",
    "module_says",
]

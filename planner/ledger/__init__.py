"""What happened, kept for good: events, their text for version control, and their database.

`planner.ledger.store` is imported by who opens a ledger; the rest needs no database.
"""

from planner.ledger.event import Basis, Details, Event, Note, Verdict, What
from planner.ledger.lines import Pages, read_lines, write_lines
from planner.ledger.written import UnreadableError, plain, read_event

__all__ = [
    "Basis",
    "Details",
    "Event",
    "Note",
    "Pages",
    "UnreadableError",
    "Verdict",
    "What",
    "plain",
    "read_event",
    "read_lines",
    "write_lines",
]

"""Names and counts in the sentence of a finding.

Takes ids and counts, gives words. Knows nothing of findings, widths or pages.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

LISTED_AT_MOST = 4


def listed(names: Sequence[str]) -> str:
    """Names in a sentence; the first few and a count where there are many."""
    if len(names) <= LISTED_AT_MOST:
        return ", ".join(names)
    return f"{', '.join(names[:LISTED_AT_MOST])} and {len(names) - LISTED_AT_MOST} more"


def counted(count: int, one: str, many: str = "") -> str:
    """A count with its noun: ``1 shot``, ``3 shots``."""
    return f"{count} {one if count == 1 else many or one + 's'}"

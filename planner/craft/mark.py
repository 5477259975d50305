"""How well a number or formula of the trade is supported.

Takes nothing, gives `Mark`. Knows nothing of what is marked.
"""

from __future__ import annotations

from enum import StrEnum


class Mark(StrEnum):
    """Standing of a rule or constant, best first."""

    PUBLISHED = "published"
    PUBLISHED_WEAKLY = "published in a weak source"
    FROM_MEMORY = "from memory of a named source"
    COMMON_PRACTICE = "common practice, no source"
    DERIVED = "derived"

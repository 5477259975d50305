"""What a plugin author sees: the kind's protocol, the worksheet, the estimate, the registry."""

from planner.kinds.context import Context, names_in
from planner.kinds.estimate import (
    Charge,
    Estimate,
    Hours,
    MissingFact,
    Need,
    Phase,
    Risk,
    ScaleBound,
    Work,
)
from planner.kinds.registry import (
    DOOR,
    GROUP,
    ElementKind,
    Registry,
    estimate_safely,
    packaged_schema,
    rules_of,
)
from planner.kinds.worksheet import Effort, Rule, Worksheet

__all__ = [
    "DOOR",
    "GROUP",
    "Charge",
    "Context",
    "Effort",
    "ElementKind",
    "Estimate",
    "Hours",
    "MissingFact",
    "Need",
    "Phase",
    "Registry",
    "Risk",
    "Rule",
    "ScaleBound",
    "Work",
    "Worksheet",
    "estimate_safely",
    "names_in",
    "packaged_schema",
    "rules_of",
]

"""The reference as HTML, in the plain look of the report.

Takes facts, formulas and checks, gives one page each that holds all it needs and prints on A4.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from jinja2 import Environment, PackageLoader, StrictUndefined

from planner.pages.report.section import source
from planner.pages.wording import inert

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from planner.pages.reference.facts import FactsPage
    from planner.pages.reference.formulas import Formula
    from planner.pages.reference.marks import Check

_CAUTION = (
    "Nothing here computes a charge or a safe distance. Where work can hurt someone (flame, smoke,"
    " ultraviolet, moving rigs, loads overhead, height, chemicals, electricity, long hours), local"
    " codes and licensed people decide."
)


@dataclass(frozen=True, slots=True)
class Room:
    """Formulas of one module, and what the module says of itself."""

    name: str
    says: str
    formulas: tuple[Formula, ...]


def facts_html(page: FactsPage, broken: Sequence[str], version: str) -> str:
    """Every fact a show may state, as a page.

    Args:
        page: the facts.
        broken: a sentence about each kind that cannot be asked.
        version: of the planner.
    """
    return _rendered("facts.html", page=page, broken=broken, version=version)


def formulas_html(
    rooms: Sequence[Room], checks: Mapping[str, Sequence[Check]] | None, version: str
) -> str:
    """Every formula, as a page.

    Args:
        rooms: the modules of the arithmetic.
        checks: by formula; None where the tests are not at hand.
        version: of the planner.
    """
    return _rendered("formulas.html", rooms=rooms, checks=checks, version=version)


def _rendered(template: str, **values: object) -> str:
    held = _environment().get_template(template)
    return held.render(values, look=source("look.css"), caution=_CAUTION)


@cache
def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("planner.pages.reference"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=lambda value: inert(value) if type(value) is str else value,
        trim_blocks=True,
        lstrip_blocks=True,
    )

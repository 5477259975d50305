"""A part of the report, and how its text becomes HTML.

Takes the name of a template and values, gives HTML in which everything that files say is inert:
marks are escaped, control characters spelled out. Knows nothing of shows.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from planner.model.names import counted
from planner.pages.graph_nodes import slug
from planner.pages.wording import figure, inert

if TYPE_CHECKING:
    from jinja2 import Template


# Names shorter than this fit into any column.
_LONG_NAME = 17
_WITHIN_NAME = re.compile(r"(?<=[^\W_])([._/]+)(?=[^\W_])")


@dataclass(frozen=True, slots=True)
class Section:
    """One part of a page.

    Attributes:
        name: short, unique on the page, one word.
        title: its heading.
        html: everything below the heading.
        nav: what the list of parts at the head of the page says of it.
    """

    name: str
    title: str
    html: Markup
    nav: str


def rendered(template: str, **values: object) -> Markup:
    """HTML of a template with `values`; text in them is inert, `Markup` stands as it is."""
    return Markup(_template(template).render(values))  # noqa: S704 - the template escapes


@cache
def _template(name: str) -> Template:
    # Built on first use: most commands never show a page.
    return _environment().get_template(name)


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("planner.pages.report"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_inert,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["breakable"] = breakable
    environment.globals.update(counted=counted, figure=figure, slug=slug)
    return environment


def breakable(text: str) -> Markup:
    """`text` as inert HTML whose long names break after their points, strokes and underscores."""
    safe = str(escape(inert(text)))
    long = len(text) >= _LONG_NAME
    # Escaped above. A plain string: pieces of `Markup` would have the new mark escaped as well.
    return Markup(_WITHIN_NAME.sub(r"\1<wbr>", safe) if long else safe)  # noqa: S704


def quoted(text: str) -> Markup:
    """`text` as a string of a style sheet: whatever is no letter or digit is escaped."""
    escaped = (
        each if each.isascii() and each.isalnum() else f"\\{ord(each):06x}" for each in inert(text)
    )
    return Markup(f'"{"".join(escaped)}"')  # noqa: S704 - nothing in it can end the string


def source(name: str) -> Markup:
    """Text of a file beside the templates, as it stands: styles and script, never anything else."""
    loader = _environment().loader
    assert loader is not None  # noqa: S101 - given above
    text, *_ = loader.get_source(_environment(), name)
    return Markup(text)  # noqa: S704 - a file of ours


def _inert(value: object) -> object:
    return inert(value) if type(value) is str else value

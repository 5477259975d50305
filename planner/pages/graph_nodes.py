"""How one thing of the element graph looks and is named in a drawing.

Takes an element with its estimate, gives a node as DOT text; takes the role of an arrow, gives its
words. Ids and links are made of slugs only, and all text is escaped, so that a name can hold
anything. Knows nothing of how nodes are laid out.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from hashlib import blake2s
from types import MappingProxyType
from typing import TYPE_CHECKING

import networkx as nx

from planner.model.names import counted
from planner.model.place import Severity
from planner.pages.wording import columns, figure, folded, inert

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from planner.kinds import Estimate
    from planner.model.show import Element, Show


# Numeric references: old Graphviz leaves quotes as they are and takes `&lt;` for a mark.
_REFERENCES = str.maketrans({char: f"&#{ord(char)};" for char in "&<>\"'"})
_SAFE = re.compile(r"[A-Za-z0-9_.-]+").fullmatch
# Most words, and quicker found to be so than looked through for what must be written otherwise.
_PLAIN = re.compile(r"[A-Za-z0-9_.,:;()-]+(?: [A-Za-z0-9_.,:;()-]+)*").fullmatch
_NAME_COLUMNS = 24
THICK = 3.5
"""Points of lines along which others wait."""
_NAME_LINES = 3
ONLY_BEFORE = frozenset({"waits_for", "needs_test"})
"""Roles of arrows of whose first end nothing is seen in the second; it has to come before."""
# Above so many arrows the words on them are said once for all arrows of one sort into one thing.
SAID_ON_EACH = 40


@dataclass(frozen=True, slots=True)
class _Look:
    """How one sort of thing is drawn: a shape, a pale fill and a border of the same hue."""

    shape: str
    fill: str
    border: str
    style: str = "filled"
    margin: str = "0.14,0.07"


# Hues of the Okabe-Ito palette; fills are the same hues mixed with white, all light enough for
# black words on them, in grey too.
_SKY, _ORANGE, _GREEN = ("#D9EEFA", "#2B7FB0"), ("#FBE7C2", "#B87A00"), ("#CDEBE1", "#007F5D")
_PURPLE, _YELLOW, BLUE = ("#F6E4EE", "#A85584"), ("#FBF8CF", "#8F8600"), ("#C6DCEC", "#0072B2")
GREY, VERMILION = ("#F2F2F2", "#666666"), "#C04F00"
_LOOKS: Mapping[str, _Look] = MappingProxyType(
    {
        "plate": _Look("box", *_SKY),
        "standing_set": _Look("house", *_SKY),
        "camera_move": _Look("cds", *_YELLOW),
        "build": _Look("box3d", *_ORANGE),
        "miniature": _Look("box", *_ORANGE),
        "puppet": _Look("hexagon", *_ORANGE, margin="0.04,0.03"),
        "painting": _Look("note", *_GREEN),
        "shadow": _Look("parallelogram", *_PURPLE, margin="0,0.01"),
        "roto": _Look("octagon", *_PURPLE, margin="0.06,0.03"),
        "composite": _Look("ellipse", *BLUE, margin="0.04,0.03"),
        "test": _Look("tab", *GREY),
        "permit": _Look("folder", *GREY),
        "decision": _Look("diamond", *GREY, margin="0,0"),
    }
)
_OTHER = _Look("box", *GREY)

# Words read along the arrow, from what is needed to what needs it.
_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "against": "is laid under",
        "build": "is photographed as",
        "builds": "is tried in",
        "camera_of": "gives its camera to",
        "clean_plate": "is the clean plate of",
        "colour_from": "gives its colours to",
        "derived_from": "is the source of",
        "falls_on": "receives",
        "in_plate": "holds",
        "into": "is filled with people by",
        "joins": "is joined into",
        "lit_with": "gives its light to",
        "move_from": "gives its move to",
        "of": "is the subject of",
        "needs_test": "must pass before",
        "pass_of": "is exposed again as",
        "people_plate": "is projected as",
        "records": "is put on film by",
        "removes_rods_of": "loses its rods in",
        "roto_of": "is outlined in",
        "set": "is the set of",
        "shadow_of": "casts",
        "waits_for": "comes before",
    }
)


def slug(id_: str) -> str:
    """A name for `id_` that is safe in links, files and every Graphviz; different ids differ."""
    if _SAFE(id_):
        return id_
    kept = re.sub(r"[^A-Za-z0-9_.-]", "-", id_)
    return f"{kept[:40]}-{blake2s(id_.encode('utf-8', 'replace'), digest_size=4).hexdigest()}"


def label_of(text: str) -> str:
    """Text within an HTML-like label: references for marks, and escapes doubled."""
    return _referenced(text).replace("\\", "\\\\")


def tooltip_of(text: str) -> str:
    """Text within a quoted tooltip; escapes are undone twice on its way to the page."""
    return _referenced(text).replace("\\", "\\\\\\\\")


def _referenced(text: str) -> str:
    if _PLAIN(text):
        return text
    return inert(text).translate(_REFERENCES)


def short(text: str, width: int = _NAME_COLUMNS, most: int = _NAME_LINES) -> list[str]:
    """At most `most` lines of `text`; what is cut off is marked with an ellipsis."""
    line = inert(text)
    if columns(line) <= width:
        return [line]
    lines = folded(line, "", "", width=width)
    if len(lines) > most:
        lines = lines[:most]
        while columns(lines[-1]) >= width:
            lines[-1] = lines[-1][:-1]
        lines[-1] += "…"
    return lines


@dataclass(frozen=True, slots=True)
class Told:
    """What a drawing says of an element, whoever draws it.

    Attributes:
        name: short, within its shot.
        about: its kind, hours, and the state of the shot it is the composite of.
        stops: how many errors were found in it.
        says: its id, with its sentence where it has one.
    """

    name: str
    about: str
    stops: int
    says: str


def told_of(show: Show, element: Element, estimate: Estimate | None) -> Told:
    """What is said of an element; `estimate` is None where there is none."""
    hours = sum(work.hours.likely for work in estimate.work) if estimate else 0.0
    about = [element.kind.replace("_", " ")]
    if hours:
        about.append(figure(round(hours, 1), "h"))
    shot = show.shots.get(element.shot)
    says = element.facts.word("says")
    if shot is not None and element.kind == "composite":
        says = says or shot.says
        if not shot.is_live:
            about.append(shot.state)
    stops = errors_in([estimate] if estimate else [])
    full = f"{element.id}: {says}" if says else element.id
    return Told(element.name, ", ".join(about), stops, full)


def element_node(
    show: Show, element: Element, estimate: Estimate | None, waits: str | None = None
) -> str:
    """An element with its kind, hours and errors; dashed where it is not taken or not live.

    Args:
        show: it is of.
        element: to draw.
        estimate: its work; None where there is none.
        waits: what stands in its way where others wait for it, in words; None where none do.
    """
    look = _LOOKS.get(element.kind, _OTHER)
    if not show.is_live(element):
        look = _Look(look.shape, GREY[0], GREY[1], "filled,dashed")
    node = _node(element.id, look, told_of(show, element, estimate), waits or "")
    # Thick lines are seen on any paper; nothing is said by colour alone.
    return node if waits is None else f"{node.removesuffix(']')}, penwidth={THICK}]"


def errors_in(estimates: Iterable[Estimate]) -> int:
    """How many errors were found in all of them."""
    return sum(
        1 for estimate in estimates for each in estimate.problems if each.severity is Severity.ERROR
    )


def _node(id_: str, look: _Look, told: Told, waits: str) -> str:
    lines = [f"<B>{label_of(line)}</B>" for line in short(told.name)]
    lines += [f'<FONT POINT-SIZE="9">{label_of(line)}</FONT>' for line in short(told.about, 30)]
    border, style = look.border, look.style
    if told.stops:
        border, style = VERMILION, "filled,bold"
        said = counted(told.stops, "error")
        lines.append(f'<FONT POINT-SIZE="9" COLOR="{VERMILION}"><B>{said}</B></FONT>')
    lines += [
        f'<FONT POINT-SIZE="9"><I>{label_of(line)}</I></FONT>' for line in short(waits, 34) if waits
    ]
    return (
        f'  "{slug(id_)}" [id="{slug(id_)}", URL="#{slug(id_)}", shape={look.shape},'
        f' style="{style}", fillcolor="{look.fill}", color="{border}", margin="{look.margin}",'
        f' label=<{"<BR/>".join(lines)}>, tooltip="{tooltip_of(told.says)}"]'
    )


def named_again(show: Show, id_: str, node: str) -> str:
    """A shared thing named once more, smaller, linked to the same place."""
    look = _LOOKS.get(show.elements[id_].kind, _OTHER)
    return (
        f'  "{node}" [shape=box, style=filled, penwidth=0.6, fontsize=9, height=0.2,'
        f' fillcolor="{look.fill}", color="{look.border}", URL="#{slug(id_)}",'
        f' label=<{label_of(short(id_, most=1)[0])}>, tooltip="{tooltip_of(id_)}"]'
    )


def group_of(show: Show, arrows: nx.DiGraph[str], id_: str) -> str:
    """The shot that holds `id_`: its own, or the only one that needs it; else `id_` itself."""
    own = show.elements[id_].shot
    if own:
        return own
    users: set[str] = set()
    for each in nx.descendants(arrows, id_):
        if each in show.elements and show.elements[each].shot:
            users.add(show.elements[each].shot)
    return users.pop() if len(users) == 1 else id_


def in_words(roles: Iterable[str]) -> str:
    """What an arrow of these roles says, read from what is needed to what needs it."""
    return ", ".join(_WORDS.get(role, role.replace("_", " ")) for role in roles)

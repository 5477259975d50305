"""The element graph of one shot as an SVG that stands alone: in a browser, a mail, on paper.

Takes a show, its arrows and estimates, gives SVG text. Columns are phases of the work, from left to
right; every arrow says in words, where it ends, why one thing waits for another, so that words and
box read as one sentence. Nothing is said by colour alone, and all text is escaped. Knows nothing of
files or other pages.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from itertools import accumulate, chain
from typing import TYPE_CHECKING, TypeAlias

from planner.model.names import counted
from planner.pages.graph_nodes import ONLY_BEFORE, in_words, short, slug, told_of
from planner.pages.graph_parts import HEADINGS, PHASES, phase_of, places, with_all_they_need
from planner.pages.layers import AWAITED, USED, Room, layered, path_of
from planner.pages.wording import columns, inert

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    import networkx as nx

    from planner.estimate.estimates import Estimates
    from planner.kinds import Phase
    from planner.model.show import Show
    from planner.pages.layers import Layout

_Ends: TypeAlias = "tuple[str, str]"
"""Of an arrow: ids of what is needed, and of what needs it."""
_WIDE, _INSET = 150, 8  # pixels: a box, and its text from its edge
_NAME, _LINE = 18, 26  # columns of text a box has room for, bold and plain
_WORDS = 40  # columns of words on an arrow
_NAME_HIGH, _LINE_HIGH = 15, 13
_WAY = 4  # lines of what is in the way
_APART = 14  # pixels from arrow to arrow at a box: the words on one fit under the other
_COLUMN = 4.9  # pixels of a column of text on an arrow or in the key
_MARGIN, _TITLE_HIGH, _HEADS_HIGH, _KEY_HIGH = 20, 21, 34, 20
_FEW = 4  # arrows to one box that are easily followed back
_NARROWEST = 480
_HEAD = "m-8-4l8 4-8 4"
_ABOUT = "What waits for what: work runs from left to right, and words say why where an arrow ends."
_CLASSES = dict(zip(PHASES, "abcdef", strict=True))
# No variables: programs that draw SVG without being browsers do not know them.
_LOOK = """\
text{font:10.5px "Helvetica Neue",Helvetica,Arial,"Liberation Sans",sans-serif;fill:#1a1a1a}
.p{fill:#fff}.t{font-size:17px;font-weight:bold}.n{font-size:12px;font-weight:bold}
.w,.k{font-size:10px;fill:#444}.w{text-anchor:end}.i{font-style:italic}
.h{font-size:11px;font-style:italic}.no{font-weight:bold;fill:#a33c00}
rect{fill:#fff;stroke:#545454}.a{fill:#eee}.b{fill:#fbe7c2}.c{fill:#d9eefa}.d{fill:#bcd9ee}
.e{fill:#f6e4ee}.f{fill:#cdebe1}rect.p{stroke:none}
.z{fill:#fff;stroke-dasharray:4 3}.x{stroke:#a33c00;stroke-width:2}
path{fill:none;stroke:#545454;stroke-width:1.3}.v{stroke-dasharray:5 3}.y{stroke-width:3}
@media screen and (prefers-color-scheme:dark){text{fill:#ededed}.p,rect,.z{fill:#17191c}
.w,.k{fill:#c4c4c4}.no{fill:#ffa266}rect,path{stroke:#b8b8b8}.x{stroke:#ffa266}.a{fill:#33363b}
.b{fill:#54401a}.c{fill:#1d4156}.d{fill:#11466a}.e{fill:#4f2f42}.f{fill:#154638}}
"""


@dataclass(frozen=True, slots=True)
class _Box:
    """One piece, before it has a place: what it says and how it looks.

    Attributes:
        says: everything in full.
        look: classes of its frame.
        lines: each with its class, from top to foot; inert.
    """

    says: str
    look: str
    lines: tuple[tuple[str, str], ...]

    @property
    def high(self) -> int:
        return 10 + sum(_NAME_HIGH if look == "n" else _LINE_HIGH for look, _ in self.lines)


def shot_drawings(
    show: Show,
    arrows: nx.DiGraph[str],
    shots: Iterable[str],
    estimates: Estimates,
    waiting: Mapping[str, str] | None = None,
) -> Iterator[str]:
    """Each shot in turn, drawn with everything it needs.

    Args:
        show: everything the files state.
        arrows: ids of all its elements, an arrow from what is needed to what needs it, each with
            its ``role``.
        shots: ids of those to draw; the whole is looked through once for all of them.
        estimates: hours, phases and findings; an element without one is drawn plain.
        waiting: by id, what stands in the way of pieces that composites wait for, in words; empty
            for one that waits itself. They are drawn thick, and what runs between them.

    Yields:
        SVG; the same for the same input.
    """
    shots = tuple(shots)
    parts = with_all_they_need(show, arrows, ((shot,) for shot in shots))
    for shot, part in zip(shots, parts, strict=True):
        yield _drawing(show, part, shot, estimates, waiting or {})


def _drawing(
    show: Show,
    arrows: nx.DiGraph[str],
    shot: str,
    estimates: Estimates,
    waiting: Mapping[str, str],
) -> str:
    ids = [id_ for id_ in arrows if id_ in show.elements]
    at = places(show, arrows, estimates)
    numbers = {place: number for number, place in enumerate(sorted({at[id_] for id_ in ids}))}
    column = {id_: numbers[at[id_]] for id_ in ids}
    boxes = {id_: _box(show, estimates, id_, waiting.get(id_)) for id_ in ids}
    words = _words(show, arrows, column)
    sorts = {
        (needed, needs): (0 if role in ONLY_BEFORE else USED)
        | (AWAITED if needed in waiting and needs in waiting else 0)
        for needed, needs, role in arrows.edges(data="role", default="")
    }
    room = _room(boxes, words, column)
    layout = layered(ids, sorts, room)
    phases = {number: PHASES[place[0]] for place, number in numbers.items()}
    drawn = chain(
        _heads(layout, phases),
        _lines(layout),
        _said(layout, words),
        _boxes(layout, boxes, room.high),
    )
    told = show.shots[shot]
    title = f"{shot}: {told.says}" if told.says else shot
    return _document(title, layout, "".join(drawn), _key(boxes.values(), layout))


def _box(show: Show, estimates: Estimates, id_: str, way: str | None) -> _Box:
    """A piece; `way` is what stands in its way where others wait for it, None where none do."""
    element, estimate = show.elements[id_], estimates.by_element.get(id_)
    told = told_of(show, element, estimate)
    is_made = show.is_live(element)
    looks = (
        _CLASSES[phase_of(element, estimate)] if is_made else "z",
        "x" if told.stops else "",
        "" if way is None else "y",
    )
    lines = [("n", line) for line in short(told.name, _NAME, 2)]
    lines += [("", line) for line in short(told.about, _LINE, 2)]
    lines += [] if is_made else [("", "not made")]
    lines += [("no", counted(told.stops, "error"))] if told.stops else []
    lines += [("i", line) for line in short(way, _LINE, _WAY)] if way else []
    says = f"{told.says}; {way}" if way else told.says
    return _Box(says, " ".join(filter(None, looks)), tuple(lines))


def _words(
    show: Show, arrows: nx.DiGraph[str], column: Mapping[str, int]
) -> dict[_Ends, tuple[str, str]]:
    """What each arrow says where it ends, in full, and as it is written there.

    One that comes from further back, or among many, says where it begins as well.
    """
    words: dict[_Ends, tuple[str, str]] = {}
    role: str
    for needed, needs, role in arrows.edges(data="role", default=""):
        full = inert(in_words((role,)))
        said = short(full, _WORDS, 1)[0]
        name = show.elements[needed].name if needed in show.elements else needed
        is_next = column.get(needed, 0) + 1 == column.get(needs, 0)
        is_clear = is_next and len(arrows.pred[needs]) <= _FEW
        words[needed, needs] = full, said if is_clear else f"{short(name, _NAME, 1)[0]} {said}"
    return words


def _room(
    boxes: Mapping[str, _Box],
    words: Mapping[_Ends, tuple[str, str]],
    column: Mapping[str, int],
) -> Room:
    before: dict[str, int] = {}
    reached: dict[str, int] = {}
    for (_, needs), (_, said) in words.items():
        reached[needs] = reached.get(needs, 0) + 1
        before[needs] = max(before.get(needs, 0), round(_COLUMN * columns(said)) + 12)
    high = {id_: max(box.high, _APART * reached.get(id_, 0) + 6) for id_, box in boxes.items()}
    return Room(_WIDE, high, before, _APART, column)


def _heads(layout: Layout, phases: Mapping[int, Phase]) -> Iterator[str]:
    """Over the columns of each phase what is done in it, underlined in the look of its boxes."""
    lefts: dict[Phase, list[int]] = {}
    for number, phase in phases.items():
        lefts.setdefault(phase, []).append(layout.columns[number])
    for phase, held in lefts.items():
        wide = held[-1] + _WIDE - held[0]
        yield (
            f'<text class="h" x="{held[0]}" y="-20">{HEADINGS[phase]}</text>'
            f'<rect class="{_CLASSES[phase]}" x="{held[0]}" y="-15" width="{wide}" height="5"/>\n'
        )


def _lines(layout: Layout) -> Iterator[str]:
    """Arrows, a path for all of one look; heads by themselves, so that none is dashed."""
    for sort, look in ((USED, "u"), (0, "v"), (USED | AWAITED, "u y"), (AWAITED, "v y")):
        lines = [line for line in layout.lines if line.sort == sort]
        ends = dict.fromkeys(line.end for line in lines if line.ends[1])
        heads = "".join(f"M{x} {y}{_HEAD}" for x, y in ends)
        if lines:
            yield f'<path class="{look}" d="{path_of(lines, "")}"/>'
            yield f'<path class="{look.replace("v", "u")}" d="{heads}"/>\n' if heads else "\n"


def _said(layout: Layout, words: Mapping[_Ends, tuple[str, str]]) -> Iterator[str]:
    for line in layout.lines:
        if line.ends[1]:
            x, y = line.end[0] - 11, line.end[1] - 3
            relation, said = words[line.ends]
            full = _inert(f"{line.ends[0]} {relation} {line.ends[1]}")
            yield f'<text class="w" x="{x}" y="{y}"><title>{full}</title>{escape(said)}</text>\n'


def _boxes(layout: Layout, boxes: Mapping[str, _Box], high: Mapping[str, int]) -> Iterator[str]:
    for id_, box in boxes.items():
        x, y = layout.corners[id_]
        yield (
            f'<g id="{slug(id_)}" transform="translate({x} {y})"><title>{_inert(box.says)}</title>'
            f'<rect class="{box.look}" width="{_WIDE}" height="{high[id_]}"/>'
        )
        down = accumulate(_NAME_HIGH if look == "n" else _LINE_HIGH for look, _ in box.lines)
        for (look, line), foot in zip(box.lines, down, strict=True):
            styled = f' class="{look}"' if look else ""
            yield f'<text{styled} x="{_INSET}" y="{foot + 2}">{escape(line)}</text>'
        yield "</g>\n"


def _key(boxes: Iterable[_Box], layout: Layout) -> list[tuple[str, str]]:
    """What lines and frames of this drawing mean: a sample, and its words."""
    sorts = {line.sort for line in layout.lines}
    looks = {look for box in boxes for look in box.look.split()}
    line = f'<path class="{{}}" d="M0-4H26"/><path d="M26-4{_HEAD}"/>'
    frame = '<rect class="{}" y="-11" width="26" height="13"/>'
    known = (
        (line.format("u"), "is used in what it reaches", any(each & USED for each in sorts)),
        (line.format("v"), "only has to come before", any(not each & USED for each in sorts)),
        (frame.format("y"), "thick: not done, and waited for", "y" in looks),
        (frame.format("x"), "has errors", "x" in looks),
        (frame.format("z"), "not made", "z" in looks),
    )
    return [(sample, said) for sample, said, is_there in known if is_there]


def _document(title: str, layout: Layout, drawn: str, key: Sequence[tuple[str, str]]) -> str:
    wide = max(_NARROWEST, layout.wide + 2 * _MARGIN)
    titles = short(title, int((wide - 2 * _MARGIN) / 8.5), 3)
    top = _MARGIN + _TITLE_HIGH * len(titles) + _HEADS_HIGH
    rows = _rows(key, wide - 2 * _MARGIN)
    foot = top + layout.high + _KEY_HIGH
    high = foot + _KEY_HIGH * len(rows) + _MARGIN // 2
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" lang="en" viewBox="0 0 {wide} {high}"',
        f' width="{wide}" height="{high}">',
        f"<title>{_inert(title)}</title>",
        f"<desc>{_ABOUT}</desc>",
        f"<style>{_LOOK}</style>",
        f'<rect class="p" width="{wide}" height="{high}"/>',
    ]
    for number, line in enumerate(titles):
        y = _MARGIN + 14 + _TITLE_HIGH * number
        lines.append(f'<text class="t" x="{_MARGIN}" y="{y}">{_inert(line)}</text>')
    lines.append(f'<g transform="translate({_MARGIN - 2} {top})">\n{drawn}</g>')
    for number, row in enumerate(rows):
        y = foot + _KEY_HIGH * number
        lines += [f'<g transform="translate({x} {y})">{entry}</g>' for x, entry in row]
    return "\n".join((*lines, "</svg>\n"))


def _rows(key: Sequence[tuple[str, str]], wide: int) -> list[list[tuple[int, str]]]:
    """Entries of the key with where each begins, in as many rows as they take."""
    rows: list[list[tuple[int, str]]] = []
    x = wide
    for sample, said in key:
        room = 34 + round(_COLUMN * len(said)) + 18
        if x + room > wide + _MARGIN:
            rows.append([])
            x = _MARGIN
        rows[-1].append((x, f'{sample}<text class="k" x="34">{said}</text>'))
        x += room
    return rows


def _inert(text: str) -> str:
    return escape(inert(text))

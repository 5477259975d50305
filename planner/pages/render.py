"""Drawings as files: DOT text run through Graphviz, SVG text set on a page of its own size.

Takes DOT or SVG text and a path, writes SVG, PDF or PNG; many drawings on every core at once. For
DOT it uses the system's ``dot`` where there is one, else the ``graphviz-pure`` package, which
writes no PDF. Knows nothing of what is drawn.
"""

from __future__ import annotations

import logging
import os
import re
import shutil
import subprocess
import sysconfig
from concurrent.futures import ThreadPoolExecutor
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

from planner.model.place import Place, Problem, Severity
from planner.pages.files import write_bytes

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

_LONGEST_SECONDS = 300
_AT_ONCE = 400_000
"""Letters one run of Graphviz is fed with, some 90 shots: starting it is as much work as seven."""
_PAGE = (
    b"#set page(width: auto, height: auto, margin: 0pt)\n"
    b'#image(bytes(sys.inputs.drawing), format: "svg")\n'
)
_SIZE = re.compile(rb'width="(\d+)" height="(\d+)"')
_UNITS_PER_INCH = 96.0
_MOST_DOTS = 10_000
"""Of a picture's longer side; more takes memory that many a machine has not got."""
_SIGNS = {"svg": b"<?xml", "pdf": b"%PDF", "png": b"\x89PNG"}

log = logging.getLogger(__name__)


def render(dot: str, fmt: str, target: Path) -> Problem | None:
    """Draw `dot` into `target`, whole or not at all.

    Args:
        dot: text of one drawing.
        fmt: ``svg``, ``pdf`` or ``png``.
        target: file to put it in; what stood there stays when anything goes wrong.

    Returns:
        None when it is written, else what stands in the way.
    """
    if fmt not in _SIGNS:
        return _unknown(target, fmt)
    program = graphviz()
    if program is None:
        says = "there is no Graphviz to draw with"
        remedy = "install the graphviz package of your system, or `pip install graphviz-pure`"
        return _refused(target, "graphviz-missing", says, remedy)
    if fmt == "pdf" and Path(program).stem == "graphviz-pure":
        says = "the graphviz-pure package writes no pdf"
        remedy = "install the graphviz package of your system, or draw an svg"
        return _refused(target, "graphviz-writes-no-pdf", says, remedy)
    log.debug("drawing %s with %s", target, program)
    drawing = _drawn(dot, fmt, program)
    if isinstance(drawing, str):
        return _refused(target, "graphviz-failed", drawing, "draw less: a shot or a sequence")
    return written(target, drawing)


def render_svg(svg: bytes, fmt: str, target: Path) -> Problem | None:
    """Write a drawing that is SVG already, the same picture in every format; as `render` gives.

    Args:
        svg: the drawing.
        fmt: ``svg``, ``pdf`` or ``png``, with two dots to each of its units where that is not too
            many.
        target: file to put it in.
    """
    if fmt not in _SIGNS:
        return _unknown(target, fmt)
    return written(target, svg if fmt == "svg" else _on_a_page(svg, fmt))


def _on_a_page(svg: bytes, fmt: str) -> bytes:
    import typst

    data = {"drawing": svg.decode("utf-8")}
    if fmt == "pdf":
        return typst.compile(_PAGE, format="pdf", sys_inputs=data)
    size = _SIZE.search(svg)
    longest = max(map(int, size.groups())) if size else 0
    dots = min(2.0, _MOST_DOTS / max(longest, 1))
    return typst.compile(_PAGE, format="png", ppi=dots * _UNITS_PER_INCH, sys_inputs=data)


def _unknown(target: Path, fmt: str) -> Problem:
    says = f"drawings are written as {', '.join(_SIGNS)}, not as {fmt or 'a file without ending'}"
    return _refused(target, "drawing-format-unknown", says, "end the file's name in .svg")


def render_all(drawings: Iterable[tuple[Path, str]]) -> Iterator[Problem | None]:
    """Draw many, a run of Graphviz on each core at a time, while the text of the next is made.

    Args:
        drawings: an SVG file, and the DOT text of one drawing to put in it; all are asked for
            before the first result is given.

    Returns:
        As `render` gives, of each in turn.
    """
    with ThreadPoolExecutor(os.cpu_count()) as cores:
        yield from chain.from_iterable(cores.map(_render_part, _parts(drawings)))


def _parts(drawings: Iterable[tuple[Path, str]]) -> Iterator[list[tuple[Path, str]]]:
    part: list[tuple[Path, str]] = []
    for each in drawings:
        part.append(each)
        if sum(len(dot) for _, dot in part) >= _AT_ONCE:
            yield part
            part = []
    if part:
        yield part


def _render_part(part: Sequence[tuple[Path, str]]) -> list[Problem | None]:
    """Several in one run; where that gives another number of them, each in its own."""
    program = graphviz()
    together = _drawn("".join(dot for _, dot in part), "svg", program) if program else ""
    # Whatever a name holds, its marks are escaped: a drawing begins nowhere but at its head.
    drawn = together.split(_SIGNS["svg"])[1:] if isinstance(together, bytes) else []
    if len(drawn) != len(part):
        return [render(dot, "svg", target) for target, dot in part]
    return [
        written(target, _SIGNS["svg"] + each) for (target, _), each in zip(part, drawn, strict=True)
    ]


def written(target: Path, drawing: bytes) -> Problem | None:
    """Put a drawing into its file; None when it is written, else what stands in the way."""
    try:
        write_bytes(target, drawing)
    except OSError as error:
        says = f"the drawing cannot be written: {error.strerror}"
        return _refused(target, "cannot-write", says, "choose another folder")
    return None


def _drawn(dot: str, fmt: str, program: str) -> bytes | str:
    """The drawing, or why there is none."""
    try:
        done = subprocess.run(  # noqa: S603 - a fixed program and option; the text goes by pipe
            [program, f"-T{fmt}"],
            input=dot.encode("utf-8"),
            capture_output=True,
            timeout=_LONGEST_SECONDS,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return f"{program} did not finish within {_LONGEST_SECONDS} s"
    except OSError as error:
        return f"{program} cannot be run: {error.strerror}"
    if done.returncode or not done.stdout.startswith(_SIGNS[fmt]):
        said = done.stderr.decode("utf-8", "replace").strip().splitlines()
        return f"{program} gave no {fmt}: {said[0] if said else 'it says nothing'}"
    return done.stdout


def graphviz() -> str | None:
    """Path of a Graphviz: the system's, else the one installed beside this Python; None without."""
    found = shutil.which("dot")
    if found:
        return found
    beside = os.pathsep.join((sysconfig.get_path("scripts"), os.environ.get("PATH", "")))
    return shutil.which("graphviz-pure", path=beside)


def _refused(target: Path, code: str, message: str, remedy: str) -> Problem:
    return Problem(Severity.ERROR, Place(str(target)), code, message, remedy)

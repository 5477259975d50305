"""Sheets set in type: one tagged PDF of A4 pages.

Takes sheets, gives bytes. They reach the template as data, so that nothing anybody wrote is obeyed.
The same sheets always give the same bytes: the fonts are the typesetter's own, and no clock is
read. Knows nothing of shows.
"""

from __future__ import annotations

from importlib.resources import as_file, files
from typing import TYPE_CHECKING, Final

from planner.pages.prints.sheet import sheets_json

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.pages.prints.sheet import Sheet

STANDARD: Final = "ua-1"
"""PDF/UA-1, ISO 14289-1: tags, title and language are there, and every sign has its meaning."""
_SIGNS = (
    (0x0020, 0x0500),
    (0x05D0, 0x05EB),
    (0x0621, 0x063B),
    (0x0640, 0x0653),
    (0x1E00, 0x2041),
    (0x20AC, 0x20AD),
    (0x2200, 0x2300),
)
"""Spans of signs that the bundled fonts hold, by trial of each; the last of a span is left out."""


def typeset(show_title: str, title: str, sheets: Sequence[Sheet], office: str = "") -> bytes:
    """The sheets as one PDF.

    Signs the bundled fonts lack are looked for among the machine's fonts; those nobody has are
    spelled out, as ``<U+6C34>``.

    Args:
        show_title: of the show.
        title: of the document.
        sheets: in order.
        office: who hands them out, at the head of each; may be empty.
    """
    from typst import TypstError

    data = sheets_json(show_title, title, sheets, office)
    try:
        return _compiled(data, is_bundled=True)
    except TypstError as error:
        if not _lacks_a_sign(error):
            raise
    try:
        return _compiled(data, is_bundled=False)
    except TypstError as error:
        if not _lacks_a_sign(error):
            raise
    return _compiled("".join(map(_spelled, data)), is_bundled=True)


def _compiled(data: str, *, is_bundled: bool) -> bytes:
    import typst

    with as_file(files("planner.pages.prints") / "sheet.typ") as template:
        made = typst.compile(
            template,
            root=template.parent,
            ignore_system_fonts=is_bundled,
            sys_inputs={"data": data},
            pdf_standards=STANDARD,
        )
    if not isinstance(made, bytes):
        raise TypeError("a PDF is bytes")
    return made


def _lacks_a_sign(error: Exception) -> bool:
    return "could not be displayed with" in str(error)


def _spelled(sign: str) -> str:
    held = any(first <= ord(sign) < end for first, end in _SIGNS)
    return sign if held else f"<U+{ord(sign):04X}>"

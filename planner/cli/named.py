"""Names on the command line: which pieces and shots of a show a word means.

Takes an opened show and the word typed after it, gives ids. A shot is its pieces, a sequence its
shots; a piece of a shot is of that shot; what belongs to none, such as a build, is of the shots
whose composites wait for it.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING

import click

from planner.cli.sentences import say

if TYPE_CHECKING:
    from collections.abc import Iterable

    from planner.graph import ElementGraph
    from planner.model.show import Show

WHAT = click.argument("what", metavar="[SHOT|SEQUENCE|PIECE]", required=False)


@dataclass(frozen=True, slots=True)
class Meant:
    """What a word means.

    Attributes:
        pieces: ids of the elements named, in the show's order.
        composites: ids of the composites they are for, in story order.
    """

    pieces: tuple[str, ...]
    composites: tuple[str, ...]


def meant(show: Show, graph: ElementGraph, word: str | None) -> Meant:
    """Pieces and composites of a sequence, shot or piece; of the whole show where none is named.

    A name that nothing has ends the command with code 2.
    """
    if word is None:
        return Meant(tuple(show.elements), tuple(graph.composites.values()))
    if word in show.elements and word not in show.shots:
        return Meant((word,), _composites_of(show, graph, word))
    shots = show.sequences[word].shots if word in show.sequences else (word,)
    if not set(shots) <= show.shots.keys():
        _tell_unknown(show, word)
    pieces = tuple(id_ for shot in shots for id_ in show.shots[shot].elements)
    return Meant(pieces, tuple(graph.composites[s] for s in shots if s in graph.composites))


def composites_meant(show: Show, graph: ElementGraph, word: str | None) -> tuple[str, ...]:
    """The composites of what is named; where there are none, the command ends with code 2."""
    found = meant(show, graph, word).composites
    if word is not None and not found:
        say(f"no composite waits for {word}")
        sys.exit(2)
    return found


def _composites_of(show: Show, graph: ElementGraph, id_: str) -> tuple[str, ...]:
    shot = show.elements[id_].shot
    if shot:
        return (graph.composites[shot],) if shot in graph.composites else ()
    waiting = graph.downstream(id_)
    return tuple(each for each in graph.composites.values() if each in waiting)


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """``; did you mean NB110?`` where a known name is near to a word; else nothing."""
    near = get_close_matches(word, list(known), n=1)
    return f"; did you mean {near[0]}?" if near else ""


def _tell_unknown(show: Show, word: str) -> None:
    hint = did_you_mean(word, (*show.shots, *show.sequences, *show.elements))
    say(f"no shot, sequence or piece is called {word}{hint}")
    sys.exit(2)

"""What is wrong with the choice between methods.

Takes a show, gives a finding for each choice made twice, by nobody or untested, and for work that
waits for a method nobody takes. Knows nothing of what the methods cost: see `planner.bid`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.methods import SETTLING, Methods, methods_of, verdict_on
from planner.model.place import Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.model.show import Element, Show

PASSED = "passed"


def method_problems(show: Show) -> Iterator[Problem]:
    """Findings about alternatives whose shots are still wanted."""
    for methods in methods_of(show.elements):
        members = [show.elements[name] for name in methods.members]
        if not any(_is_wanted(show, each) for each in members):
            continue
        yield from _how_many(members, methods)
        for each in members:
            yield from _who(each)
        if methods.made and verdict_on(show.elements[methods.made]) == "chosen":
            yield from _tested(show, show.elements[methods.made])
    yield from _waiting(show)


def _is_wanted(show: Show, element: Element) -> bool:
    return not element.shot or show.shots[element.shot].is_live


def _how_many(members: list[Element], methods: Methods) -> Iterator[Problem]:
    chosen = [each for each in members if verdict_on(each) == "chosen"]
    for each in chosen[1:]:
        yield _told(
            Severity.ERROR,
            each,
            ("two-methods-chosen", "method"),
            f"{chosen[0].id} and {each.id} are both chosen for one thing; {chosen[0].id} is"
            " reckoned with",
            "write `verdict: rejected` for one of them",
        )
    if not methods.made:
        yield _told(
            Severity.WARNING,
            members[0],
            ("every-method-rejected", "method"),
            f"every way of making it is rejected ({', '.join(methods.members)}): nobody makes it",
            "choose one, or take it out of the composite",
        )


def _who(element: Element) -> Iterator[Problem]:
    method = element.facts.group("method")
    if verdict_on(element) == "open" or method.word("by"):
        return
    day = method.day("on")
    yield _told(
        Severity.WARNING,
        element,
        ("verdict-without-name", "method"),
        f"it was {verdict_on(element)} {f'on {day}' if day else 'on no day'} by nobody named",
        "write who decided under `by`, and the day under `on`",
    )


def _tested(show: Show, element: Element) -> Iterator[Problem]:
    """The chosen method's tests: those it, or what it is made with, waits for."""
    tests = _tests(show, element)
    for each in tests:
        result = each.facts.word("result", "not yet")
        if result == PASSED:
            continue
        yield _told(
            Severity.WARNING,
            element,
            ("chosen-method-untested", "method"),
            f"it is the method chosen and its test {each.id} has"
            f" {'failed' if result == 'failed' else 'not been passed'}",
            f"run {each.id} before stage time is booked, or keep another method open",
        )
    if not tests and element.facts.word("risk") == "untried":
        yield _told(
            Severity.WARNING,
            element,
            ("chosen-method-without-test", "method"),
            "it is the method chosen, it is untried, and no test stands before it",
            "add a test under tests in builds.yaml and name it in waits_for",
        )


def _tests(show: Show, element: Element) -> list[Element]:
    near = _waited_for(show, element)
    near += [further for each in near for further in _waited_for(show, each)]
    return list({each.id: each for each in near if each.kind == "test"}.values())


def _waited_for(show: Show, element: Element) -> list[Element]:
    return [show.elements[ref.target] for ref in element.references if ref.waits]


def _waiting(show: Show) -> Iterator[Problem]:
    """Live work that waits for what nobody makes."""
    for element in show.elements.values() if show.aside else ():
        if element.kind in SETTLING or not show.is_live(element):
            continue
        for reference in element.references:
            if reference.waits and reference.target in show.aside:
                yield _on_nothing(show, element, reference.target, reference.role)


def _on_nothing(show: Show, element: Element, target: str, role: str) -> Problem:
    made = next(
        (each.made for each in methods_of(show.elements) if target in each.members and each.made),
        "",
    )
    rejected = verdict_on(show.elements[target]) == "rejected"
    instead = f"name {made} instead, or add `made_for: {target}`" if made else "take it out"
    return _told(
        Severity.ERROR,
        element,
        ("waits-for-method-not-taken", role),
        f"its work waits for {target}, which is {'rejected' if rejected else 'not the one made'}:"
        " nobody makes it",
        f"{instead}; or choose {target}",
    )


def _told(
    severity: Severity, element: Element, rule: tuple[str, str], message: str, remedy: str
) -> Problem:
    code, at = rule
    return Problem(severity, element.facts.place_of(at), code, message, remedy, element.id)

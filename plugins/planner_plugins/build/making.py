"""Hours by craft to make a build.

Takes hours stated, or size, scale and detail, gives the work in the order it is done: drawn, made,
painted, proved. Labour is shared by a team no larger than the crew. Knows nothing of money.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.kinds import Hours, Phase, Work
from planner.kinds.stated import stated_hours
from planner.model.quantity import Quantity, Standing
from planner_plugins.build import rules
from planner_plugins.build.size import scales

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.model.facts import Facts


@dataclass(frozen=True, slots=True)
class Labour:
    """Labour of one craft, in hours of one pair of hands.

    Attributes:
        name: what is done, a verb phrase.
        craft: who does it.
        hours: low, likely, high.
        reason: the likely hours with their arithmetic.
    """

    name: str
    craft: str
    hours: Hours
    reason: Quantity


def make(sheet: Worksheet) -> None:
    """Add the work of making it, each craft after the one before, dried and then proved."""
    facts = sheet.element.facts
    if facts.has("ready"):
        effort = sheet.effort("receive and check", (rules.RECEIVE, 1))
        parts = [Labour("receive and check", _maker(facts), effort.hours, effort.reason)]
    else:
        parts = _stated(sheet) or _reckoned(sheet)
    drying = _drying(sheet)
    after: tuple[str, ...] = ()
    for part in parts:
        wait = drying if part is parts[-1] else 0.0
        after = (_add(sheet, part, after, wait).name,)
    _prove(sheet, after)


def _drying(sheet: Worksheet) -> float:
    """Hours it dries: the longest that it states itself or a painting photographed of it does."""
    context = sheet.context
    boards = (each for each in context.users("build") if each.kind == "painting")
    live = (each.facts for each in boards if context.show.is_live(each))
    own = sheet.element.facts
    return max(0.0, *(each.amount("drying", 0.0) for each in (own, *live)))


def _maker(facts: Facts) -> str:
    return facts.word("made_by") or rules.MAKER.get(facts.word("makes"), "model_making")


def _add(sheet: Worksheet, part: Labour, after: tuple[str, ...], wait_hours: float) -> Work:
    team = _team(sheet, part)
    hours = part.hours
    reason = part.reason
    if team > 1:
        reason = Quantity(
            f"hours to {part.name}",
            hours.likely / team,
            "h",
            reason=f"labour shared by {team}",
            inputs=(part.reason,),
        )
    return sheet.do(
        Work(
            name=part.name,
            craft=part.craft,
            phase=Phase.BUILD,
            hours=Hours(hours.low / team, hours.likely / team, hours.high / team),
            reason=reason,
            heads=team,
            after=after,
            wait_hours=wait_hours,
        )
    )


def _team(sheet: Worksheet, part: Labour) -> int:
    """Hands at once: as many as the labour is worth, the thing has room for, and the crew has."""
    crews = sheet.context.show.resources_of("crew")
    crew = sum(each.capacity for each in crews if each.craft == part.craft)
    usual, share = sheet.rule(rules.TEAM)[0].value, sheet.rule(rules.SHARE)[0].value
    team = min(usual, part.hours.likely / max(share, 1.0))
    return max(int(min(team, crew) if crew else team), 1)


def _copies(sheet: Worksheet) -> tuple[tuple[Quantity, ...], Hours]:
    """How many times the labour of one the copies and the spare take, with its range.

    Where only one is made there is nothing to multiply by, and no share of it to be assumed.
    """
    facts = sheet.element.facts
    more = max(facts.amount("copies", 1), 1) + (1 if facts.flag("spare") else 0) - 1
    if not more:
        return (), Hours(1, 1, 1)
    repeat, shares = sheet.rule(rules.REPEAT)
    further = Quantity(
        "further copies",
        more,
        "1",
        Standing.GIVEN,
        place=facts.place_of("copies"),
        reason="copies made beyond the first, and the spare where one is made",
    )
    times = Quantity(
        "labour of all copies over that of one",
        1 + more * repeat.value,
        "1",
        reason="1 + further copies x share of the first",
        inputs=(further, repeat),
    )
    return (times,), Hours(1 + more * shares.low, 1 + more * shares.likely, 1 + more * shares.high)


def _stated(sheet: Worksheet) -> list[Labour]:
    """Hours by craft as stated; where only the likely is, spread as usual."""
    _, spread = sheet.rule(rules.SPREAD)
    times, factor = _copies(sheet)
    parts = []
    for craft, facts in sheet.element.facts.named("hours").items():
        stated, one = facts.number("likely"), stated_hours(sheet, facts, "hours", spread)
        if stated is None or one is None:
            sheet.miss(f"hours.{craft}", rests="hours to make it")
            continue
        name = craft.replace("_", " ")
        reason = sheet.reckon(
            f"labour of {name}",
            one.likely * factor.likely,
            "h",
            "hours stated x copies" if times else "hours stated",
            stated,
            *times,
        )
        hours = Hours(one.low * factor.low, one.likely * factor.likely, one.high * factor.high)
        parts.append(Labour(name, craft, hours, reason))
    return parts


def _reckoned(sheet: Worksheet) -> list[Labour]:
    """Hours by surface and detail, over every scale it may yet have."""
    facts = sheet.element.facts
    makes, detail = facts.word("makes"), facts.word("detail")
    if not detail:
        detail = "medium"
        sheet.miss("detail", rests="hours to make it", assumed=detail)
    rule = rules.per_area(makes, detail)
    efforts = [
        sheet.effort("make", (rules.BASE[makes], 1), (rule, _surface(sheet, n)))
        for n in reversed(scales(sheet))
    ]
    likely = efforts[-1]
    times, factor = _copies(sheet)
    made = Hours(
        min(each.hours.low for each in efforts) * factor.low,
        likely.hours.likely * factor.likely,
        max(each.hours.high for each in efforts) * factor.high,
    )
    said = "hours of one x copies" if times else "hours of one"
    reason = sheet.reckon("labour of making", made.likely, "h", said, likely.reason, *times)
    parts = [Labour("make", _maker(facts), made, reason)]
    if not facts.word("drawing"):
        draw = sheet.effort("draw", (rules.DRAW, 1))
        parts.insert(0, Labour("draw", "art_department", draw.hours, draw.reason))
    if makes in rules.FINISHED_BY_PAINTERS and not facts.word("made_by"):
        parts.append(_finish(sheet, made, reason))
    return parts


def _finish(sheet: Worksheet, made: Hours, making: Quantity) -> Labour:
    stated, share = sheet.rule(rules.FINISH)
    hours = Hours(made.low * share.low, made.likely * share.likely, made.high * share.high)
    reason = sheet.reckon(
        "labour of painting it", hours.likely, "h", "share of making it", making, stated
    )
    return Labour("paint", "painting", hours, reason)


def _surface(sheet: Worksheet, scale: Quantity) -> Quantity:
    """Square metres that are made: front, top and two sides of the box it fills."""
    size = sheet.element.facts.group("full_size")
    sides = {side: size.number(side) for side in ("width", "depth", "height")}
    known = {side: each for side, each in sides.items() if each is not None and each.value > 0}
    if not known:
        usual = sheet.rule(rules.SURFACE)[0]
        sheet.miss("full_size", rests="hours to make it", assumed=f"{usual.value:g} m2 of surface")
        return usual
    metres = {side: each.value / scale.value / 1000 for side, each in known.items()}
    if len(metres) == 3:
        width, depth, height = metres["width"], metres["depth"], metres["height"]
        area = width * height + width * depth + 2 * depth * height
    else:
        area = min(metres.values()) * max(metres.values())
    reason = "front, top and two sides at scale, or what sides are known"
    return sheet.reckon("surface", area, "m2", reason, *known.values(), scale)


def _prove(sheet: Worksheet, after: tuple[str, ...]) -> None:
    proof = sheet.element.facts.group("proof")
    likely, hours = proof.number("likely"), stated_hours(sheet, proof, "proof")
    if likely is None or hours is None:
        if sheet.element.facts.word("makes") == "rig":
            sheet.warn(
                "rig-unproven",
                "it is a rig and no hours are set down to prove it before it is used",
                "state `proof`, with someone to witness it",
                at="proof",
            )
        return
    if sheet.element.facts.has("proof") and not sheet.element.facts.word("witness"):
        sheet.remark(
            "proof-without-witness",
            f"{likely.value:g} h are set down to prove it and nobody is named to see it proved",
            "name under `witness` who answers for its first use",
            at="proof",
        )
    reason = sheet.reckon("hours to prove it", hours.likely, "h", "stated", likely)
    sheet.do(
        Work(
            name="prove",
            craft=_maker(sheet.element.facts),
            phase=Phase.BUILD,
            hours=hours,
            reason=reason,
            after=after,
        )
    )

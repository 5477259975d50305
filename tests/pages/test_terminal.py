from __future__ import annotations

from datetime import date, datetime, time, timedelta
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from planner.bid import Bid, BidLine, Figures
from planner.bid.lines import total_of
from planner.bid.rollup import loads_on
from planner.estimate import mark_of
from planner.kinds import Hours, MissingFact, Phase, Risk, Work
from planner.model.facts import Facts
from planner.model.place import Place, Problem, Severity
from planner.model.quantity import Quantity, Standing
from planner.model.show import Loads, Resource, Show, WorkCalendar
from planner.order.stage_order import Call, StageOrder
from planner.pages import terminal

HERE = Place("dam/sequences/a.yaml", 8, 12)
LINES = st.text(min_size=1, max_size=400)


def problem(severity: Severity, message: str, line: int = 8, about: str = "A_010.dam") -> Problem:
    return Problem(severity, Place("dam/a.yaml", line, 3), "some-rule", message, "mend it", about)


def test_errors_come_before_warnings_before_notes() -> None:
    text = terminal.problems_text(
        [
            problem(Severity.NOTE, "third"),
            problem(Severity.ERROR, "first"),
            problem(Severity.WARNING, "second"),
        ]
    )
    assert text.index("first") < text.index("second") < text.index("third")
    assert text.endswith("1 error, 1 warning, 1 note.\n")


def test_a_problem_shows_place_sentence_and_remedy() -> None:
    found = problem(Severity.ERROR, "needs 96 fps")
    text = terminal.problems_text([found])
    assert text == (
        "1 error\n\n"
        "dam/a.yaml:8:3  A_010.dam\n"
        f"  needs 96 fps [some-rule {mark_of(found)}]\n"
        "  do: mend it\n\n"
        "1 error.\n"
    )


def test_several_places_share_a_sentence_and_keep_their_marks() -> None:
    found = [problem(Severity.WARNING, "no rate", about=about) for about in ("A_010", "A_020")]
    text = terminal.problems_text(found)
    assert f"no rate [some-rule {mark_of(found[0])} {mark_of(found[1])}]" in text


def test_one_sentence_about_several_places_is_said_once() -> None:
    text = terminal.problems_text(
        [problem(Severity.WARNING, "no rate for glue", line) for line in (5, 9)]
    )
    assert text.count("no rate for glue") == 1
    assert "dam/a.yaml:5:3" in text
    assert "dam/a.yaml:9:3" in text
    assert "2 warnings" in text


def test_colour_adds_nothing_but_colour() -> None:
    found = [problem(Severity.ERROR, "a"), problem(Severity.NOTE, "b")]
    tinted = terminal.problems_text(found, colour=True)
    assert "\x1b[31;1m1 error\x1b[0m" in tinted
    for code in ("\x1b[31;1m", "\x1b[36m", "\x1b[0m"):
        tinted = tinted.replace(code, "")
    assert tinted == terminal.problems_text(found)


def test_no_problem_is_said_in_words() -> None:
    assert terminal.problems_text([]) == "No problems.\n"


def test_a_terminal_command_in_a_name_is_spelled_out() -> None:
    text = terminal.problems_text([problem(Severity.ERROR, "bad \x1b[2J name\u202etxt")])
    assert "\x1b" not in text
    assert "\u202e" not in text
    assert "<U+001B>[2J name<U+202E>txt" in text


@given(LINES, LINES)
def test_every_line_of_a_problem_fits_the_width(message: str, about: str) -> None:
    text = terminal.problems_text([problem(Severity.ERROR, message, about=about)])
    assert max(terminal.columns(line) for line in text.split("\n")) <= 80


@given(st.text(max_size=300), st.integers(20, 120))
def test_folding_loses_nothing_but_spaces(text: str, width: int) -> None:
    lines = terminal.folded(text, "", width=width)
    assert "".join("".join(lines).split()) == "".join(terminal.inert(text).split())


def test_wide_characters_take_two_columns() -> None:
    assert terminal.columns("鷺") == 2
    assert terminal.columns("é") == 1
    assert terminal.columns("e\u0301") == 1
    # 10 columns hold five of them.
    assert terminal.folded("鷺" * 12, width=10) == ["鷺" * 5, "鷺" * 5, "鷺" * 2]


def test_missing_facts_stand_under_the_thing_they_belong_to() -> None:
    text = terminal.missing_text(
        [
            MissingFact("A_010.dam", "fall_height", HERE, "the rate cannot be checked", "2.4 m"),
            MissingFact("A_010.dam", "stop", HERE, "light cannot be reckoned"),
        ]
    )
    assert text == (
        "2 facts missing, 1 of them replaced by an assumption.\n\n"
        "A_010.dam\n"
        "  fall height  dam/sequences/a.yaml:8:12\n"
        "    without it: the rate cannot be checked\n"
        "    taken for it: 2.4 m\n"
        "  stop  dam/sequences/a.yaml:8:12\n"
        "    without it: light cannot be reckoned\n"
    )


def test_sizes_are_said_in_the_unit_people_use() -> None:
    assert terminal.figure(3600, "mm") == "3.6 m"
    assert terminal.figure(28, "mm") == "28 mm"
    assert terminal.figure(1500, "mm/s") == "1.5 m/s"
    assert terminal.figure(24, "1:N") == "1:24"
    assert terminal.figure(5.6, "f") == "f/5.6"
    assert terminal.figure(4, "T") == "T4"
    assert terminal.figure(96, "fps") == "96 fps"
    assert terminal.figure(12, "1") == "12"
    assert terminal.figure(600, "s") == "10 min"
    assert terminal.figure(1234.5, "GBP") == "1,234.50 GBP"
    assert terminal.figure(1 / 3, "h") == "0.3333 h"
    assert terminal.figure(123456, "1") == "123,456"


def test_light_is_also_said_in_foot_candles_when_asked() -> None:
    # 1 fc = 10.7639 lx, so 10,763.9 lx are 1,000 fc.
    assert terminal.figure(10763.9, "lx", foot_candles=True) == "10,764 lx (1,000 fc)"
    assert terminal.figure(10763.9, "lx") == "10,764 lx"


def test_a_reason_opens_to_its_arithmetic() -> None:
    takes = Quantity("takes", 6, "1", Standing.GIVEN, place=HERE, text="6", reason="supervisor")
    minutes = Quantity(
        "time for a take", 0.5, "h", Standing.ASSUMED, reason="stage.take", source="common practice"
    )
    hours = Quantity("hours to photograph", 3, "h", reason="takes x time", inputs=(takes, minutes))
    assert terminal.reason_text(hours) == (
        "hours to photograph = 3 h, reckoned\n"
        "  by takes x time\n"
        '  takes = 6, given, written "6"\n'
        "    supervisor\n"
        "    dam/sequences/a.yaml:8:12\n"
        "  time for a take = 0.5 h, assumed\n"
        "    stage.take; source: common practice\n"
        "Rests on something assumed.\n"
    )


def test_a_shared_part_is_opened_once() -> None:
    leaf = Quantity("leaf", 1)
    tree = leaf
    for level in range(40):  # as a tree 2^40 parts
        tree = Quantity(f"level {level}", level, inputs=(tree, tree))
    text = terminal.reason_text(tree)
    assert text.count("as above") == 39


def test_a_deep_reason_needs_no_recursion() -> None:
    tree = Quantity("leaf", 1)
    for _ in range(5000):
        tree = Quantity("sum", 1, inputs=(tree,))
    assert terminal.reason_text(tree).count("\n") == 5001


# The bid and the stage order ----------------------------------------------------------------------


def figures(likely: str) -> Figures:
    return Figures(Decimal(likely) / 2, Decimal(likely), Decimal(likely) * 2)


def line(shot: str, likely: str, **more: object) -> BidLine:
    values: dict[str, object] = {
        "element": f"{shot}.dam" if shot else "dam",
        "shot": shot,
        "sequence": shot.partition("_")[0],
        "kind": "miniature",
        "what": "photograph",
        "craft": "model_making",
        "phase": Phase.STAGE,
        "month": "2026-03",
        "account": "",
        "risk": Risk.ORDINARY,
        "rate": "camera",
        "figures": figures(likely),
        "reason": Quantity("photograph", float(likely), "GBP"),
        "place": HERE,
    }
    return BidLine(**{**values, **more})


def bid(*lines: BidLine, **more: object) -> Bid:
    cost = total_of(each.figures for each in lines)
    terms = Loads(Decimal("0.125"), {}, False)
    loads = loads_on(lines, terms, "GBP")
    total = total_of([cost, *(each.figures for each in loads)])
    unpriced = tuple(each for each in lines if not each.is_priced)
    values: dict[str, object] = {"not_in_bid": (), "users": {}, "terms": terms, **more}
    return Bid("Nine Bells", "GBP", lines, loads, cost, total, (), unpriced, **values)


def test_the_bid_shows_three_figures_and_loads_apart() -> None:
    text = terminal.bid_text(bid(line("A_010", "1000"), line("", "200")), "shot")
    # overhead 12.5 % of 1,200 likely is 150; low is half and high twice the likely figure
    # 80 columns: 13 for each figure and 41 for the name
    assert text.splitlines()[:9] == [
        "Nine Bells: bid by shot, in GBP",
        "",
        f"{'':41}{'low':>13}{'likely':>13}{'high':>13}",
        "-" * 80,
        f"{'A_010':41}{'500.00':>13}{'1,000.00':>13}{'2,000.00':>13}",
        f"{'shared':41}{'100.00':>13}{'200.00':>13}{'400.00':>13}",
        "-" * 80,
        f"{'cost':41}{'600.00':>13}{'1,200.00':>13}{'2,400.00':>13}",
        f"{'overhead, 12.5 % of 1,200.00':41}{'75.00':>13}{'150.00':>13}{'300.00':>13}",
    ]
    assert "Contingency does not carry overhead." in text


def test_what_is_unpriced_dead_or_left_out_is_named_under_the_bid() -> None:
    text = terminal.bid_text(
        bid(
            line("A_010", "0", is_priced=False),
            line("", "70", element="barge", is_dead=True),
            not_in_bid=(line("B_020", "40"),),
        ),
        "kind",
    )
    assert "Dead cost: barge, 70.00; only omitted shots use it." in text
    assert "Not in the bid: B_020, 40.00 likely without stage days." in text
    assert "1 line at 0 for want of a rate:\n  A_010.dam: photograph" in text


@given(st.text(max_size=300), st.integers(0, 10**13))
def test_a_bid_line_of_any_name_and_sum_fits_the_width(name: str, cents: int) -> None:
    sum_of_money = f"{Decimal(cents) / 100:.2f}"
    text = terminal.bid_text(bid(line("A_010", sum_of_money, account=name)), "account")
    assert max(terminal.columns(each) for each in text.split("\n")) <= 80


def call(
    element: str,
    starts: datetime,
    hours: float,
    *,
    craft: str = "camera",
    stage: str = "",
    ends: datetime | None = None,
    set_up: str = "",
) -> Call:
    work = Work(
        "photograph",
        craft,
        Phase.STAGE,
        Hours(hours, hours, hours),
        Quantity("hours", hours, "h"),
        set_up=set_up,
    )
    holds = (stage, "crane") if stage else ()
    return Call(element, work, starts, ends or starts + timedelta(hours=hours), hours, holds, stage)


def show_with(*resources: Resource) -> Show:
    calendar = WorkCalendar(date(2026, 3, 2), frozenset(range(5)), (), time(8), 8.0)
    named = {each.id: each for each in resources}
    terms = Loads(Decimal(0), {}, False)
    return Show("s", "Dam", "GBP", calendar, {}, {}, {}, named, {}, {}, (), terms, Facts(HERE))


STAGE = Resource("stage_a", "stage", "Stage A", 1, "", (), Facts(HERE), HERE)
CRANE = Resource("crane", "rig", "the crane", 1, "", (), Facts(HERE), HERE)
MONDAY = datetime.combine(date(2026, 3, 2), time(8))


def order(*calls: Call, **more: object) -> StageOrder:
    values: dict[str, object] = {"days_held": {}, "finals": {}, "late": {}, **more}
    return StageOrder(
        calls, bound_days=2.0, proven=False, method="put in by hand", problems=(), **values
    )


def test_the_order_goes_by_stage_and_day_with_set_ups_where_they_change() -> None:
    tuesday = MONDAY + timedelta(days=1)
    thursday = MONDAY + timedelta(days=3)
    text = terminal.order_text(
        order(
            call("A_010.dam", MONDAY, 3, stage="stage_a", set_up="dam, 1:24"),
            call("A_020.dam", MONDAY + timedelta(hours=3), 2, stage="stage_a", set_up="dam, 1:24"),
            call("A_030.dam", thursday, 4, stage="stage_a", set_up="dam, 1:10"),
            call("dam", MONDAY, 16, craft="model_making", ends=tuesday + timedelta(hours=8)),
            days_held={"stage_a": tuple((MONDAY + timedelta(days=day)).date() for day in range(4))},
            late={"A_030": 2.0},
            finals={"A_030": thursday},
        ),
        show_with(STAGE, CRANE),
    )
    assert text == (
        "4 calls, Mon 2 Mar 2026 to Thu 5 Mar 2026; put in by hand, not proven the best.\n"
        "No order needs fewer than 2 working days.\n\n"
        "Stage A: 4 days held\n"
        "  Mon 2 Mar 2026\n"
        "    set-up: dam, 1:24\n"
        "    with the crane\n"
        "    08:00-11:00     3 h  A_010.dam: photograph\n"
        "    11:00-13:00     2 h  A_020.dam: photograph\n"
        "  Tue 3 Mar 2026  held, idle\n"
        "  Wed 4 Mar 2026  held, idle\n"
        "  Thu 5 Mar 2026\n"
        "    set-up: dam, 1:10\n"
        "    with the crane\n"
        "    08:00-12:00     4 h  A_030.dam: photograph\n\n"
        "Off stage, model making\n"
        "  Mon 2 Mar 2026 to Tue 3 Mar 2026, 16 h\n"
        "    dam: photograph\n\n"
        "A_030 is late by 2 working days, done on Thu 5 Mar 2026.\n"
    )


def test_a_call_over_a_night_says_when_it_ends() -> None:
    ends = datetime.combine(date(2026, 3, 4), time(12))
    text = terminal.order_text(
        order(
            call("A_010.dam", MONDAY, 20, stage="stage_a", ends=ends),
            days_held={"stage_a": (MONDAY.date(),)},
            finals={"A_010": ends},
        ),
        show_with(STAGE),
    )
    assert "A_010.dam: photograph, until Wed 4 Mar 2026 12:00" in " ".join(text.split())
    assert "    with crane\n" in text
    assert "idle" not in text
    assert "Every composite is in time; the last is done on Wed 4 Mar 2026." in text


@given(st.text(max_size=300), st.text(max_size=300))
def test_an_order_of_any_names_fits_the_width(element: str, set_up: str) -> None:
    text = terminal.order_text(
        order(call(element, MONDAY, 3, stage="stage_a", set_up=set_up), call(element, MONDAY, 3)),
        show_with(STAGE, CRANE),
    )
    assert max(terminal.columns(each) for each in text.split("\n")) <= 80

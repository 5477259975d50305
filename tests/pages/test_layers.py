"""Where boxes and arrows of drawings go."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from planner.pages.layers import BOX_HIGH, BOX_WIDE, USED, Layout, Room, layered

IDS = [f"n{n}" for n in range(12)]


@st.composite
def graphs(draw: st.DrawFn) -> tuple[list[str], dict[tuple[str, str], int]]:
    """Arrows from earlier ids to later ones, so that there is no circle."""
    ids = IDS[: draw(st.integers(0, len(IDS)))]
    pairs = list(combinations(ids, 2))
    kept = draw(st.lists(st.sampled_from(pairs), unique=True, max_size=25)) if pairs else []
    return ids, {pair: draw(st.sampled_from((0, USED))) for pair in kept}


@given(graphs())
def test_everything_stands_right_of_what_it_needs(graph) -> None:
    ids, arrows = graph
    corners = layered(ids, arrows).corners
    assert list(corners) == ids
    for needed, needs in arrows:
        assert corners[needed][0] + BOX_WIDE < corners[needs][0]


@given(graphs())
def test_no_box_lies_upon_another_and_all_lie_within_the_drawing(graph) -> None:
    layout = layered(*graph)
    for (x, y), (other_x, other_y) in combinations(layout.corners.values(), 2):
        assert abs(x - other_x) >= BOX_WIDE or abs(y - other_y) >= BOX_HIGH
    for x, y in layout.corners.values():
        assert x >= 0
        assert y >= 0
        assert x + BOX_WIDE <= layout.wide
        assert y + BOX_HIGH <= layout.high


@given(graphs())
def test_an_arrow_passes_a_column_between_its_boxes(graph) -> None:
    layout = layered(*graph)
    for line in layout.lines:
        if line.past != line.end[0]:
            assert not any(
                x == line.end[0] and y < line.end[1] < y + BOX_HIGH for x, y in boxes(layout)
            )


def boxes(layout: Layout) -> list[tuple[int, int]]:
    return list(layout.corners.values())


def test_what_nothing_waits_for_in_the_first_columns_stands_just_before_what_needs_it() -> None:
    chain = {("a", "b"): USED, ("b", "c"): USED, ("late", "c"): USED}
    corners = layered(["a", "b", "c", "late"], chain).corners
    assert corners["late"][0] == corners["b"][0]


def test_arrows_from_one_box_share_a_lane_which_is_used_where_any_of_them_is() -> None:
    # a feeds c and d, two columns on, past b: one lane under or over b for both.
    arrows = {
        ("a", "b"): USED,
        ("b", "c"): USED,
        ("b", "d"): USED,
        ("a", "c"): 0,
        ("a", "d"): USED,
    }
    lanes = [
        line for line in layered(["a", "b", "c", "d"], arrows).lines if line.past != line.end[0]
    ]
    assert [line.sort for line in lanes] == [USED]


def test_of_a_circle_everything_is_drawn_and_an_arrow_left_out() -> None:
    layout = layered(["a", "b", "c"], {("a", "b"): USED, ("b", "c"): USED, ("c", "a"): USED})
    assert list(layout.corners) == ["a", "b", "c"]
    assert len(layout.lines) == 2


def test_arrows_set_apart_reach_a_box_one_under_the_other_as_they_come() -> None:
    arrows = {(each, "end"): USED for each in ("a", "b", "c")}
    layout = layered(["a", "b", "c", "end"], arrows, Room(apart=14))
    lines = sorted(layout.lines, key=lambda line: line.start[1])
    middle = layout.corners["end"][1] + BOX_HIGH // 2
    assert [line.end[1] - middle for line in lines] == [-14, 0, 14]


@given(graphs(), st.integers(10, 200), st.integers(0, 90))
def test_boxes_of_any_height_lie_apart_with_room_for_words_before_them(graph, high, words) -> None:
    ids, arrows = graph
    room = Room(80, dict.fromkeys(ids[::2], high), dict.fromkeys(ids[::3], words), 14)
    layout = layered(ids, arrows, room)
    tall = {id_: room.high.get(id_, BOX_HIGH) for id_ in ids}
    for upper, lower in combinations(ids, 2):
        (x, y), (other_x, other_y) = layout.corners[upper], layout.corners[lower]
        above, below = (upper, other_y - y) if y <= other_y else (lower, y - other_y)
        assert abs(x - other_x) >= 80 or below >= tall[above]
    for line in layout.lines:
        if line.ends[1]:
            assert line.end[0] - line.bend >= room.before.get(line.ends[1], 0)


def test_nothing_is_an_empty_drawing() -> None:
    assert layered([], {}) == Layout({}, (), (), 0, 4)


@given(graphs())
def test_the_same_graph_is_laid_out_alike(graph) -> None:
    assert layered(*graph) == layered(*graph)

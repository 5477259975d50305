"""Events for tests: short to write, and any at all."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

from hypothesis import strategies as st

from planner.ledger import Basis, Details, Event, Note, Verdict, What
from planner.model.facts import FrameRange

START = datetime(2027, 3, 1, 8, tzinfo=UTC)


def event(n: int, what: What = What.BUILT, about: str = "hill_town", **details: object) -> Event:
    """The `n`th event, n minutes after eight on 1 March 2027."""
    told = Details(**details)  # type: ignore[arg-type]
    return Event(f"client {n}", what, about, START + timedelta(minutes=n), "anna", told)


# What stands in JSON and in both databases: no control characters, no halves of pairs.
WORDS = st.text(
    st.characters(exclude_categories=("Cs", "Cc", "Zl", "Zp")), min_size=1, max_size=12
).filter(lambda text: text.strip() == text)
RANGES = st.tuples(st.integers(-99, 9999), st.integers(0, 99)).map(
    lambda pair: FrameRange(pair[0], pair[0] + pair[1])
)
NOTES = st.builds(Note, WORDS, st.none() | RANGES, st.just("") | WORDS, st.just("") | WORDS)
DETAILS = st.builds(
    Details,
    take=WORDS,
    verdict=st.none() | st.sampled_from(Verdict),
    circled=st.booleans(),
    notes=st.lists(NOTES, max_size=2).map(tuple),
    plate_take=st.just("") | WORDS,
    program=st.just("") | WORDS,
    frames=st.none() | RANGES,
    by=WORDS,
    why=st.just("") | WORDS,
    values=st.dictionaries(WORDS, WORDS, max_size=2),
    corrects=WORDS,
    words=st.just("") | WORDS,
)
ZONES = st.integers(-14 * 4, 14 * 4).map(
    lambda quarters: timezone(timedelta(minutes=15 * quarters))
)
MOMENTS = st.datetimes(datetime(1990, 1, 1), datetime(2060, 1, 1), timezones=ZONES)
EVENTS = st.builds(
    Event,
    st.uuids().map(str),
    st.sampled_from(What),
    WORDS,
    MOMENTS,
    WORDS,
    DETAILS,
    st.just(""),
    st.none() | MOMENTS,
)
BASES = st.builds(Basis, st.dictionaries(WORDS, WORDS, max_size=3))

"""Any sequence of posting, correcting, retrying, exporting and importing keeps one story.

The model is a plain list of what was acknowledged. Whatever is done, both ledgers hold events that
were acknowledged, each once; a full exchange makes them equal; states follow from events alone.
"""

from __future__ import annotations

import shutil
import tempfile
from datetime import timedelta
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, invariant, rule

from planner.ledger import Details, Event, What, read_lines, write_lines
from planner.ledger.store import open_ledger
from planner.status import states_of
from tests.ledger.told import DETAILS, EVENTS, START

THINGS = st.sampled_from(["HL010.town", "hill_town", "HL010"])
KINDS = st.sampled_from([each for each in What if each is not What.CORRECTED])


class TwoLedgers(RuleBasedStateMachine):
    """Two people's ledgers of one show."""

    told = Bundle("told")

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        opened = [open_ledger(self.folder / f"{name}.db") for name in ("floor", "office")]
        self.ledgers = [each for each in opened if each is not None]
        self.known: list[dict[str, Event]] = [{}, {}]
        self.count = 0

    def teardown(self) -> None:
        for each in self.ledgers:
            each.close()
        shutil.rmtree(self.folder)

    def keep(self, which: int, event: Event) -> Event:
        posted = self.ledgers[which].post([event])
        assert posted.kept == (event,)
        self.known[which][event.client] = event
        return event

    @rule(
        target=told,
        which=st.integers(0, 1),
        what=KINDS,
        about=THINGS,
        minutes=st.integers(-3, 3),
        details=DETAILS,
    )
    def post(self, which: int, what: What, about: str, minutes: int, details: Details) -> Event:
        self.count += 1
        at = START + timedelta(minutes=self.count + minutes)
        return self.keep(which, Event(f"client {self.count}", what, about, at, "anna", details))

    @rule(target=told, which=st.integers(0, 1), wrong=told)
    def correct(self, which: int, wrong: Event) -> Event:
        self.count += 1
        at, told = START + timedelta(minutes=self.count), Details(corrects=wrong.id)
        word = f"client {self.count}"
        return self.keep(which, Event(word, What.CORRECTED, wrong.about, at, "bert", told))

    @rule(event=told, which=st.integers(0, 1))
    def retry(self, event: Event, which: int) -> None:
        posted = self.ledgers[which].post([event, event])
        assert posted.otherwise == ()
        assert len(posted.kept) == (event.client not in self.known[which])
        self.known[which][event.client] = event

    @rule(which=st.integers(0, 1))
    def exchange(self, which: int) -> None:
        """One side exports, the other imports; twice, as a retry would."""
        giver, taker = self.ledgers[which], self.ledgers[1 - which]
        pages = read_lines(write_lines(giver.events(), giver.bases()).encode(), "x.jsonl")
        assert pages.problems == ()
        taker.post(pages.events, pages.bases)
        assert taker.post(pages.events, pages.bases).kept == ()
        self.known[1 - which] |= self.known[which]

    @rule()
    def merge(self) -> None:
        """Both texts one after the other, as version control joins them, taken in by both."""
        texts = [write_lines(each.events(), each.bases()) for each in self.ledgers]
        pages = read_lines("<<<<<<< a\n{}=======\n{}>>>>>>> b\n".format(*texts).encode(), "x")
        for which, each in enumerate(self.ledgers):
            each.post(pages.events, pages.bases)
            self.known[which] = {**self.known[0], **self.known[1]}
        one, other = (states_of(each.events()) for each in self.ledgers)
        assert one == other

    @invariant()
    def each_ledger_holds_what_it_acknowledged(self) -> None:
        for ledger, known in zip(self.ledgers, self.known, strict=True):
            assert {each.client: each for each in ledger.events()} == known
            assert len(ledger.events()) == len(known)

    @invariant()
    def states_follow_from_events_in_any_order(self) -> None:
        for ledger, known in zip(self.ledgers, self.known, strict=True):
            events = ledger.events()
            assert states_of(events) == states_of(events[::-1])
            # What the ledger gives back is what was told, so the states are those of the telling.
            assert states_of(events) == states_of(known.values())
            assert not any("%" in each.words for each in states_of(events).values())


TestTwoLedgers = TwoLedgers.TestCase
TestTwoLedgers.settings = settings(
    max_examples=15,
    stateful_step_count=20,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)


@given(st.lists(EVENTS, min_size=1, max_size=8, unique_by=lambda each: each.id), st.data())
def test_a_correction_undoes_exactly_one_event_and_its_own_correction_brings_it_back(
    told: list[Event], data: st.DataObject
) -> None:
    told = [each for each in told if each.what is not What.CORRECTED]
    if not told:
        return
    wrong = data.draw(st.sampled_from(told))
    last = max(each.at for each in told)
    undone = Event("u", What.CORRECTED, wrong.about, last, "bert", Details(corrects=wrong.id))
    again = Event("a", What.CORRECTED, wrong.about, last, "bert", Details(corrects=undone.id))
    others = [each for each in told if each is not wrong]
    order = data.draw(st.permutations([*told, undone, again]))
    assert states_of(each for each in order if each is not again) == states_of(others)
    assert states_of(order) == states_of(told)

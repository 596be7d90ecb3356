"""True of every run log: order and repetition of merging do not matter, nothing is lost, nothing doubled."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from skimwright.trials import Book, Event, Result, merge

FIGURE = st.none() | st.sampled_from([1.0, 4.5, 48.0])
RESULTS = st.builds(
    Result, distance=FIGURE, gate_time=FIGURE, drift=FIGURE, change=st.sampled_from([None, "none", "fin"])
)
EVENTS = st.builds(
    Event,
    boat=st.integers(1, 3),
    run=st.integers(1, 4),
    kind=st.sampled_from(["run", "run", "guess", "correction"]),
    phone=st.sampled_from(["a", "b"]),
    tap=st.integers(0, 3),
    time=st.sampled_from(
        ["", "2027-03-20T10:00:00", "2027-03-20T10:00:30", "2027-03-20T12:00:00", "no clock"]
    ),
    result=RESULTS,
    guess=st.sampled_from([None, "skip", "ran wide"]),
    reason=st.sampled_from(["", "tape slipped"]),
)
BOOKS = st.builds(Book, st.frozensets(EVENTS, max_size=8))


@given(BOOKS, BOOKS, BOOKS)
@settings(max_examples=150, deadline=None)
def test_merging_does_not_depend_on_order_or_repetition(a: Book, b: Book, c: Book) -> None:
    once = merge(a, b, c)
    for other in (merge(c, b, a), merge(merge(a, b), c), merge(a, merge(b, c)), merge(once, a, once)):
        assert other == once
        assert other.runs == once.runs
        assert other.findings == once.findings


@given(BOOKS, BOOKS)
@settings(max_examples=100, deadline=None)
def test_no_event_is_lost_and_no_run_number_doubled(a: Book, b: Book) -> None:
    both = merge(a, b)
    assert both.events == a.events | b.events
    numbers = [(run.boat, run.run) for run in both.runs]
    assert len(numbers) == len(set(numbers))
    assert numbers == sorted(numbers)
    told = {(e.boat, e.run) for e in both.events if e.kind == "run"}
    twins = sum(f.code == "run-logged-twice" for f in both.findings)
    assert len(numbers) + twins == len(told)


@given(BOOKS)
@settings(max_examples=100, deadline=None)
def test_a_missing_figure_stays_missing_and_a_figure_is_one_somebody_wrote(book: Book) -> None:
    for run in book.runs:
        written = {e.result.drift for e in book.events if (e.boat, e.run) == (run.boat, run.run)}
        assert run.result.drift in written | {None}

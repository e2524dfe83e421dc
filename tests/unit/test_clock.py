"""The clock: deadline, what is kept back of it, shares of it, and what is known so far."""

from __future__ import annotations

import time

import pytest

from cli import progress
from solver.clock import Clock


@pytest.fixture
def now(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The time of day in seconds, moved by hand."""
    at = [100.0]
    monkeypatch.setattr(time, "monotonic", lambda: at[0])
    return at


def test_the_limit_counts_from_the_start_given(now: list[float]) -> None:
    clock = Clock(5, started=98.0)
    assert (clock.seconds(), clock.left(), clock.over()) == (2.0, 3.0, False)
    now[0] = 103.0
    assert clock.over() and clock.stopped() == "time"
    assert not Clock().over() and Clock().left() is None


def test_what_is_kept_back_is_half_of_the_limit_at_most(now: list[float]) -> None:
    clock = Clock(10)
    clock.keep_back(2)
    assert clock.left() == 8
    clock.keep_back(20)
    assert clock.left() == 5
    now[0] = 105.0
    assert clock.over()
    free = Clock()
    free.keep_back(2)
    assert free.left() is None


def test_a_share_ends_early_and_leaves_the_rest(now: list[float]) -> None:
    clock = Clock(10)
    with clock.share(0.25):
        assert clock.left() == 2.5
        now[0] = 102.5
        assert clock.over()
    assert clock.left() == 7.5 and not clock.over() and clock.stopped() == ""
    with clock.share(0.25):
        clock.stop()
    assert clock.over() and clock.stopped() == "interrupt"
    with (free := Clock()).share(0.1):
        assert free.left() is None and not free.over()


def test_what_is_known_of_the_layout_that_is_looked_for() -> None:
    clock = Clock()
    for cents in (900, 700, 800):
        clock.found(cents)
    for cents in (100, 300, 200):
        clock.at_least(cents)
    assert (clock.best, clock.bound, clock.first_bound) == (700, 300, 300)
    with clock.unwatched():
        clock.found(1)
        clock.at_least(650)
        clock.next_search()
    assert (clock.best, clock.bound, clock.first_bound) == (700, 300, 300)
    clock.next_search()
    assert (clock.best, clock.bound) == (None, None)
    clock.at_least(800)
    assert (clock.bound, clock.first_bound) == (800, 300)  # of the second, not of the first
    clock.found(900)
    clock.new_list()
    assert (clock.best, clock.bound, clock.first_bound) == (900, None, None)
    clock.at_least(200)
    assert clock.first_bound == 200


def test_progress_tells_best_and_bound() -> None:
    line, clock = progress.Progress(), Clock()
    line.watch(clock)
    line.say("plane S: every start")
    assert line._text() == "0 s: plane S: every start"
    clock.found(434_000)
    clock.at_least(413_750)
    assert line._text() == "0 s: plane S: every start; best so far 4,340.00; at least 4,137.50"
    line.found("layout 1: 100.00, proven")
    assert "; layout 1: 100.00, proven; best so far" in line._text()


def test_a_long_progress_line_loses_what_it_does_not_its_figures() -> None:
    text = f"9 s: plane {'x' * 90}: every start; best so far 4,340.00; at least 4,137.50"
    fitted = progress._fitted(text)
    assert len(fitted) == 79
    assert fitted.startswith("9 s: plane xx")
    assert fitted.endswith("; best so far 4,340.00; at least 4,137.50")
    assert progress._fitted("short") == "short".ljust(79)
    assert len(progress._fitted("x" * 200)) == 79

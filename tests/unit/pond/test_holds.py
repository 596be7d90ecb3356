"""Go, hold, stop: a fold over what was said."""

import datetime
import itertools

import pytest

from skimwright.base import ConflictError, InputError
from skimwright.pond import Event, beaufort, heat_index, read_event, state_at

DAY = datetime.datetime(2027, 5, 22)


def said(clock, who, what, why=""):
    hour, minute = (int(part) for part in clock.split(":"))
    return Event(at=DAY.replace(hour=hour, minute=minute), who=who, what=what, why=why)


def at(clock, *events):
    hour, minute = (int(part) for part in clock.split(":"))
    return state_at(events, DAY.replace(hour=hour, minute=minute))


OPEN = said("08:30", "safety officer", "open")


def test_nothing_runs_before_the_officer_opens():
    assert at("08:00", OPEN).word == "hold"
    assert at("08:30", OPEN).word == "go"


def test_two_holds_both_must_clear():
    holds = (OPEN, said("09:00", "boat crew", "hold", "line fouled"), said("09:01", "marshal", "hold"))
    assert at("09:02", *holds).word == "hold"
    one = (*holds, said("09:05", "boat crew", "clear"))
    assert at("09:06", *one).word == "hold"
    assert "marshal" in at("09:06", *one).says
    assert at("09:08", *one, said("09:07", "marshal", "clear")).word == "go"


def test_nobody_clears_the_hold_of_another():
    with pytest.raises(ConflictError, match="marshal clears a hold"):
        at("09:10", OPEN, said("09:00", "boat crew", "hold"), said("09:05", "marshal", "clear"))


def test_thunder_starts_its_clock_again():
    # The demonstration's day: thunder at 14:31, and again at 14:36.
    one = (OPEN, said("14:31", "safety officer", "thunder"))
    assert at("15:00", *one).word == "hold"
    assert at("15:01", *one).word == "go"
    two = (*one, said("14:36", "safety officer", "thunder"))
    assert at("15:05", *two).word == "hold"
    assert at("15:06", *two).word == "go"


def test_clearing_a_hold_does_not_stop_the_thunder_clock():
    events = (
        OPEN,
        said("14:31", "marshal", "thunder"),
        said("14:31", "marshal", "hold"),
        said("14:40", "marshal", "clear"),
    )
    assert at("14:45", *events).word == "hold"


def test_after_a_misfire_nobody_approaches_for_a_minute():
    misfire = Event(at=DAY.replace(hour=10), who="start", what="misfire")
    assert state_at([OPEN, misfire], DAY.replace(hour=10, second=59)).word == "hold"
    assert state_at([OPEN, misfire], DAY.replace(hour=10, minute=1)).word == "go"


def test_a_stop_stays_until_the_water_is_opened_anew():
    events = (OPEN, said("11:00", "safety officer", "stop", "scum on the water"))
    assert at("12:00", *events).word == "stop"
    assert at("12:10", *events, said("12:05", "safety officer", "open")).word == "go"


def test_the_order_in_which_events_were_written_does_not_matter():
    events = (OPEN, said("09:00", "a", "hold"), said("09:01", "b", "hold"), said("09:05", "a", "clear"))
    assert len({at("09:10", *order).says for order in itertools.permutations(events)}) == 1


def test_what_comes_later_does_not_count_yet():
    assert at("09:00", OPEN, said("09:30", "marshal", "hold")).word == "go"


@pytest.mark.parametrize(
    "who, what, words", [("", "hold", "nobody is named"), ("marshal", "pause", "no such word")]
)
def test_an_event_that_says_nothing_gets_a_sentence(who, what, words):
    with pytest.raises(InputError, match=words):
        read_event(at=DAY, who=who, what=what)


def test_weather_that_cannot_be_gets_a_sentence():
    with pytest.raises(InputError, match="wind cannot be"):
        beaufort(wind=-1.0)
    with pytest.raises(InputError, match="humidity"):
        heat_index(air_temperature=300.0, humidity=70.0)

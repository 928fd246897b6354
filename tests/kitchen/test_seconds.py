"""Durations, times of day and instants."""

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchen_timer.kitchen.seconds import (
    instant_of,
    read_duration,
    read_instant,
    read_time_of_day,
    write_duration,
    write_instant,
)

LONDON = ZoneInfo("Europe/London")


def utc(year: int, month: int, day: int, hour: int, minute: int) -> int:
    return int(datetime(year, month, day, hour, minute, tzinfo=UTC).timestamp())


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("45s", 45), ("2m", 120), ("2m30s", 150), ("1h", 3600), ("24h", 86400), ("1h5s", 3605), ("0s", 0), ("90s", 90)],
)
def test_a_duration_is_written_with_its_units(text: str, seconds: int) -> None:
    assert read_duration(text) == seconds


@pytest.mark.parametrize(
    "text", ["", "2", 2, 2.5, True, None, "2 m", "m", "30s2m", "1.5m", "2M", "2m30", "²m", "٢m", "2m\n", " 2m", "1d"]
)
def test_anything_else_is_no_duration_and_the_cure_is_named(text: object) -> None:
    with pytest.raises(ValueError, match="2m30s"):
        read_duration(text)


def test_a_negative_duration_is_said_to_be_negative() -> None:
    with pytest.raises(ValueError, match="negative"):
        read_duration("-2m")


@given(st.integers(0, 200_000))
def test_a_written_duration_reads_back(seconds: int) -> None:
    assert read_duration(write_duration(seconds)) == seconds


@pytest.mark.parametrize(("text", "at"), [("19:02", time(19, 2)), ("0:30", time(0, 30)), ("04:59", time(4, 59))])
def test_a_time_of_day_is_hours_and_minutes(text: str, at: time) -> None:
    assert read_time_of_day(text) == at


@pytest.mark.parametrize("text", ["24:00", "19:60", "1902", 1142, "7pm", "19:02:00", None, "19:02\n"])
def test_anything_else_is_no_time_of_day(text: object) -> None:
    with pytest.raises(ValueError, match="19:02"):
        read_time_of_day(text)


@pytest.mark.parametrize(
    ("at", "instant"),
    [
        # Midnight and the small hours belong to the night after; from 05:00 on it is the day itself.
        (time(19, 2), utc(2026, 11, 27, 19, 2)),
        (time(23, 59), utc(2026, 11, 27, 23, 59)),
        (time(0, 0), utc(2026, 11, 28, 0, 0)),
        (time(4, 59), utc(2026, 11, 28, 4, 59)),
        (time(5, 0), utc(2026, 11, 27, 5, 0)),
        (time(5, 1), utc(2026, 11, 27, 5, 1)),
    ],
)
def test_times_before_five_belong_to_the_night_after_the_service(at: time, instant: int) -> None:
    assert instant_of(date(2026, 11, 27), at, LONDON) == instant


@pytest.mark.parametrize(
    ("service", "at", "instant"),
    [
        # Clocks of Europe/London, tzdata 2026: forward on 2026-03-29 at 01:00 UTC, back on 2026-10-25 at 01:00 UTC.
        (date(2026, 3, 28), time(23, 30), utc(2026, 3, 28, 23, 30)),
        (date(2026, 3, 28), time(0, 59), utc(2026, 3, 29, 0, 59)),
        (date(2026, 3, 28), time(1, 30), utc(2026, 3, 29, 1, 30)),  # skipped: read with the offset before the change
        (date(2026, 3, 28), time(2, 0), utc(2026, 3, 29, 1, 0)),
        (date(2026, 3, 29), time(19, 0), utc(2026, 3, 29, 18, 0)),
        (date(2026, 10, 24), time(0, 59), utc(2026, 10, 24, 23, 59)),
        (date(2026, 10, 24), time(1, 30), utc(2026, 10, 25, 0, 30)),  # comes twice: the first is meant
        (date(2026, 10, 24), time(2, 0), utc(2026, 10, 25, 2, 0)),
        (date(2026, 10, 25), time(19, 0), utc(2026, 10, 25, 19, 0)),
    ],
)
def test_on_the_nights_the_clocks_change_a_time_is_still_one_instant(service: date, at: time, instant: int) -> None:
    assert instant_of(service, at, LONDON) == instant


def test_an_hour_of_cooking_over_the_change_of_clocks_is_an_hour() -> None:
    # A night shift on 2026-10-24: 00:30 and 02:30 by the wall are three hours apart, not two.
    first = instant_of(date(2026, 10, 24), time(0, 30), LONDON)
    second = instant_of(date(2026, 10, 24), time(2, 30), LONDON)
    assert second - first == 3 * 3600


@pytest.mark.parametrize(
    ("text", "same"),
    # Examples of RFC 3339 section 5.8 that whole seconds can hold.
    [
        ("1985-04-12T23:20:50Z", "1985-04-12T23:20:50+00:00"),
        ("1996-12-19T16:39:57-08:00", "1996-12-20T00:39:57Z"),
    ],
)
def test_instants_are_read_as_rfc_3339_writes_them(text: str, same: str) -> None:
    assert read_instant(text) == read_instant(same)


def test_an_instant_is_written_with_its_offset_to_the_second() -> None:
    # One instant either side of the hour that comes twice.
    assert write_instant(utc(2026, 10, 25, 0, 59), LONDON) == "2026-10-25T01:59:00+01:00"
    assert write_instant(utc(2026, 10, 25, 1, 0), LONDON) == "2026-10-25T01:00:00+00:00"
    assert write_instant(utc(2026, 11, 27, 19, 30)) == "2026-11-27T19:30:00+00:00"


@given(st.integers(0, 4_000_000_000))
def test_a_written_instant_reads_back_in_any_zone(instant: int) -> None:
    assert read_instant(write_instant(instant, LONDON)) == instant
    assert read_instant(write_instant(instant, ZoneInfo("Asia/Kathmandu"))) == instant


@pytest.mark.parametrize("text", ["2026-11-27T19:30:00", "19:30", "", None, True, "tomorrow"])
def test_an_instant_without_an_offset_is_refused(text: object) -> None:
    with pytest.raises(ValueError, match=r"\+00:00"):
        read_instant(text)

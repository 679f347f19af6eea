"""Filters for every day and time that a person reads; empty where there is none."""

from datetime import date, datetime, time

from django import template

from catalogue.common.viewer_dates import clock_words, day_words

register = template.Library()


@register.filter
def day(value: date | None) -> str:
    """A day with its year: "12 Nov 2026"."""
    return day_words(value) if value else ""


@register.filter
def day_of_year(value: date | None) -> str:
    """A day of this year: "12 Nov"."""
    return day_words(value, year=False) if value else ""


@register.filter
def clock(value: datetime | time | None) -> str:
    """A time of day: "14:30"."""
    return clock_words(value) if value is not None and value != "" else ""


@register.filter
def weekday(value: date | None) -> str:
    """A day of the week and its date: "Thursday, 12 Nov 2026"."""
    return f"{value:%A}, {day_words(value)}" if value else ""


@register.filter
def clock_to_the_second(value: datetime | time | None) -> str:
    """A time of day with its seconds, which tell pictures apart: "14:30:05"."""
    return clock_words(value, seconds=True) if value else ""


@register.filter
def moment(value: datetime | None) -> str:
    """A day with its time: "12 Nov 2026, 14:30"."""
    return f"{day_words(value)}, {clock_words(value)}" if value else ""


@register.filter
def moment_of_year(value: datetime | None) -> str:
    """A day of this year with its time: "12 Nov, 14:30"."""
    return f"{day_words(value, year=False)}, {clock_words(value)}" if value else ""

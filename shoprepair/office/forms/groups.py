"""Figures of a long form that stand together under one title."""

from typing import NamedTuple


class Group(NamedTuple):
    """Fields that decide together."""

    title: str
    about: str
    names: tuple[str, ...]

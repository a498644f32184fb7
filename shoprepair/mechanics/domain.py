"""How the numbers refuse what lies outside their domain: a ValueError with one plain sentence."""

from math import inf


def need(holds: bool, otherwise: str) -> None:
    if not holds:
        raise ValueError(otherwise)


def positive(value: float, what: str) -> None:
    if not 0 < value < inf:
        raise ValueError(f"The {what} must be more than zero.")


def not_negative(value: float, what: str) -> None:
    if not 0 <= value < inf:
        raise ValueError(f"The {what} must be zero or more.")


def within(value: float, what: str) -> None:
    if not 0 <= value <= 1:
        raise ValueError(f"The {what} must lie between 0 and 1.")

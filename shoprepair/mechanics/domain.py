"""How the numbers refuse what lies outside their domain."""

from math import isfinite


def need(holds: bool, otherwise: str) -> None:
    """Raise ValueError with one plain sentence unless the condition holds."""
    if not holds:
        raise ValueError(otherwise)


def positive(value: float, what: str) -> None:
    need(isfinite(value) and value > 0, f"The {what} must be more than zero.")


def not_negative(value: float, what: str) -> None:
    need(isfinite(value) and value >= 0, f"The {what} must be zero or more.")


def within(value: float, what: str) -> None:
    need(0 <= value <= 1, f"The {what} must lie between 0 and 1.")

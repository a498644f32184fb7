"""What follows at the bench when a customer agrees."""

from typing import Any

from shoprepair.pricing.models import Quote
from shoprepair.work import steps, stock


def take_up(quote: Quote) -> None:
    """Make the steps of what was agreed, reserve its materials, and let the promise be reckoned anew."""
    steps.make(quote.job)
    stock.reserve(quote)


def on_accepted(quote: Quote, **_: Any) -> None:
    """Receives the signal that an agreement was written."""
    take_up(quote)

"""What packages above may follow: work does not know them."""

from django.dispatch import Signal

handed_back = Signal()
"""Sent with `hand_back` and `who` once gear is given back and its invoice made, inside the same transaction."""

taken_back = Signal()
"""Sent with `job`, `who` and `reason` once it is said that gear was not handed back, inside the same transaction."""

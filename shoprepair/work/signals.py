"""What packages above may follow: work does not know them."""

from django.dispatch import Signal

handed_back = Signal()
"""Sent with `hand_back` and `who` once gear is given back and invoiced, inside the same transaction."""

taken_back = Signal()
"""Sent with `job`, `who` and `reason` once a hand-back is taken back, inside the same transaction."""

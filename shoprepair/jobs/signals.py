"""What packages above may follow: jobs does not know them."""

from django.dispatch import Signal

moved = Signal()
"""Sent with `job`, `start`, `to` and `who` once a job's stage has changed, inside the same transaction:
what a receiver adds is kept or undone together with the move, and an error it raises takes it back."""

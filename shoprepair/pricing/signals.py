"""What packages above may follow: pricing does not know them."""

from django.dispatch import Signal

accepted = Signal()
"""Sent with `quote` once its agreement is written, inside the same transaction: what a receiver adds is kept
or undone together with the answer, and an error it raises takes the answer back."""

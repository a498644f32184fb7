"""What a form of the office says when a change is refused, and how the next save gets through."""

from typing import Any

from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shoprepair.pricing.stale import Stale


def say_stale(form: Any, sentence: str, seen: int, *, field: str = "seen") -> None:
    """Say beside the form that somebody was quicker, and let the next save go through."""
    form.add_error(None, sentence)
    form.data = form.data.copy()
    form.data[field] = seen


def say_refused(form: Any, refused: Stale | ValidationError) -> None:
    """Say why rules were not changed: each sentence beside its field, or who was quicker."""
    if isinstance(refused, ValidationError):
        form.add_error(None, refused)
        return
    sentence = gettext("%(refused)s Save again to set them as you typed them.") % {"refused": refused}
    say_stale(form, sentence, refused.record.version, field="version")

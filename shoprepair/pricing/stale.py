"""What a person hears who changes something that somebody else has changed since they looked."""

from collections.abc import Sequence
from typing import Any

from django.utils.translation import gettext


class Stale(ValueError):
    """Somebody else changed the record meanwhile.

    `record` is as it stands now; `meanwhile` tells what happened to it since, a sentence each.
    """

    def __init__(self, what: str, record: Any, meanwhile: Sequence[str] = ()) -> None:
        told = f" {' '.join(meanwhile)}" if meanwhile else ""
        super().__init__(
            gettext("Somebody has changed %(what)s since you opened it.%(told)s Look at it as it is now.")
            % {"what": what, "told": told}
        )
        self.record = record
        self.meanwhile = tuple(meanwhile)

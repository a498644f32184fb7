"""The four answers that a self-check can give, the mildest first."""

from enum import IntEnum

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _


class Verdict(IntEnum):
    """Ordered: of two, the greater is the stricter."""

    RIDE_ON = 0
    FIX_YOURSELF = 1
    GET_HOME = 2
    BRING_IN = 3

    @property
    def code(self) -> str:
        """As addresses, pictures and tallies name it."""
        return _CODES[self]

    @property
    def title(self) -> Promise:
        """The verdict in plain words of the reader's language."""
        return _TITLES[self]


_CODES = {
    Verdict.RIDE_ON: "ride-on",
    Verdict.FIX_YOURSELF: "fix",
    Verdict.GET_HOME: "get-home",
    Verdict.BRING_IN: "bring-in",
}
_TITLES = {
    Verdict.RIDE_ON: _("Ride on and keep an eye on it"),
    Verdict.FIX_YOURSELF: _("Fix it yourself"),
    Verdict.GET_HOME: _("Get home with a temporary fix, then bring it in"),
    Verdict.BRING_IN: _("Do not inflate it; bring it in"),
}


def by_code(code: str) -> Verdict:
    """The verdict that a code names. Raises ValueError for a code that is none."""
    for verdict, name in _CODES.items():
        if name == code:
            return verdict
    raise ValueError(f"{code!r} is no verdict.")

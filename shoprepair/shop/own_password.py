"""A person's own password, asked for once more before something is opened or changed."""

import datetime

from shoprepair.shop import limits
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff

PER = datetime.timedelta(hours=1)
MOST = 10
TOO_OFTEN = gettext_lazy("That was tried too often. Wait an hour.")
WRONG = gettext_lazy("That is not your password. Capitals count.")


def fault(person: Staff, typed: str) -> str:
    """Why this does not show that it is this person, as a sentence; empty when it does. Every try counts."""
    if not limits.allow("own-password", str(person.pk), most=MOST, per=PER):
        return TOO_OFTEN
    return "" if person.check_password(typed) else WRONG

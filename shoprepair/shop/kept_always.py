"""What is kept for a time that nobody sets, in words for the owner."""

from shoprepair.shop import limits, sessions
from shoprepair.shop.backup import retention
from shoprepair.shop.languages import filled, gettext_lazy
from shoprepair.shop.lasting import Fixed

_DAY_H = 24

KINDS = (
    Fixed(
        gettext_lazy("Covers, claims and gear"),
        gettext_lazy("for good"),
        gettext_lazy("A cover is a promise for the life of the gear, and names nobody."),
    ),
    Fixed(
        gettext_lazy("The journal"),
        gettext_lazy("for good"),
        gettext_lazy("Who in the shop did what, and when. Of a customer who is erased the words go."),
    ),
    Fixed(
        gettext_lazy("Log-ins that go on"),
        filled(
            gettext_lazy("%(days)s days at most, by PIN %(value)s hours"),
            days=sessions.AT_MOST.days,
            value=sessions.BY_PIN_AT_MOST.seconds // 3600,
        ),
        gettext_lazy("Which person on what kind of device. It goes when the log-in ends."),
    ),
    Fixed(
        gettext_lazy("Tries to log in or to open links"),
        filled(gettext_lazy("%(value)s hours"), value=limits.LONGEST.days * _DAY_H),
        gettext_lazy("Counted without names or addresses, then deleted."),
    ),
    Fixed(
        gettext_lazy("What waits on a tablet without a line"),
        gettext_lazy("until it is sent, thrown away or logged out"),
        filled(
            gettext_lazy(
                "Gear taken in, pins and ticks, under the person who wrote them. Of pages the tablet keeps "
                "none but the bench’s open job, without its customer, in its own tab for %(value)s hours at "
                "most."
            ),
            value=sessions.IDLE_AT_MOST.seconds // 3600,
        ),
    ),
    Fixed(
        gettext_lazy("Backups of every day"),
        filled(
            gettext_lazy("%(days)s days, %(weeks)s weeks and %(months)s months back"),
            days=retention.DAYS,
            weeks=retention.WEEKS,
            months=retention.MONTHS,
        ),
        gettext_lazy("The newest of each stays. What was erased since is in older backups until they go."),
    ),
    Fixed(
        gettext_lazy("Logs of the server"),
        gettext_lazy("not kept by the program"),
        gettext_lazy(
            "Written out for the machine, which keeps them as it is told. They name nobody and hold no keys."
        ),
    ),
)

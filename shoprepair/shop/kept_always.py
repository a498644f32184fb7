"""What is kept for a time that nobody sets, in words for the owner."""

from shoprepair.shop import limits, sessions
from shoprepair.shop.backup import retention
from shoprepair.shop.lasting import Fixed

_DAY_H = 24

KINDS = (
    Fixed(
        "Covers, claims and gear",
        "for good",
        "A cover is a promise for the life of the gear, and names nobody.",
    ),
    Fixed(
        "The journal",
        "for good",
        "Who in the shop did what, and when. Of a customer who is erased the words go.",
    ),
    Fixed(
        "Log-ins that go on",
        f"{sessions.AT_MOST.days} days at most, by PIN {sessions.BY_PIN_AT_MOST.seconds // 3600} hours",
        "Which person on what kind of device. It goes when the log-in ends.",
    ),
    Fixed(
        "Tries to log in or to open links",
        f"{limits.LONGEST.days * _DAY_H} hours",
        "Counted without names or addresses, then deleted.",
    ),
    Fixed(
        "Backups of every day",
        f"{retention.DAYS} days, {retention.WEEKS} weeks and {retention.MONTHS} months back",
        "The newest of each stays. What was erased since is in older backups until they go.",
    ),
    Fixed(
        "Logs of the server",
        "not kept by the program",
        "Written out for the machine, which keeps them as it is told. They name nobody and hold no keys.",
    ),
)

"""When a letter is tried again, and when it is given up."""

import datetime

FIRST_PAUSE = datetime.timedelta(minutes=1)
LONGEST_PAUSE = datetime.timedelta(hours=6)
GIVE_UP_AFTER = datetime.timedelta(hours=48)
LEASE = datetime.timedelta(minutes=10)
"""A letter that is being sent for longer than this was left behind by a worker that died."""


def pause_after(tries: int) -> datetime.timedelta:
    """How long to wait after this many tries: a minute, then twice as long each time, six hours at most."""
    doublings = min(max(tries, 1) - 1, 16)
    return min(FIRST_PAUSE * (1 << doublings), LONGEST_PAUSE)


def next_try(now: datetime.datetime, tries: int, give_up_at: datetime.datetime) -> datetime.datetime | None:
    """The moment of the next try; the last one falls on `give_up_at`, after it there is none."""
    if now >= give_up_at:
        return None
    return min(now + pause_after(tries), give_up_at)

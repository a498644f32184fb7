"""The outbox: e-mails written with the change that they tell of, sent later by a worker.

`write` is an insert in the caller's transaction: a change that is rolled back writes no letter.
"""

from shoprepair.shop.outbox.writing import (
    NotPossible,
    cancel,
    letters,
    overtaken,
    send_again,
    take_up,
    tell_owner,
    write,
)

__all__ = ["NotPossible", "cancel", "letters", "overtaken", "send_again", "take_up", "tell_owner", "write"]

"""Enquiries from outside: gear that is not in the shop yet, by somebody who has no account here."""

from shoprepair.jobs.enquiries.coming import came, waiting
from shoprepair.jobs.enquiries.forgetting import forget_due

__all__ = ["came", "forget_due", "waiting"]

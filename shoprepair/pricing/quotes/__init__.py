"""Quotes: drafted from the repairs, changed by people, sent out, revised and withdrawn."""

from shoprepair.pricing.quotes.drafting import JobClosed, discard, draft, refresh, revise
from shoprepair.pricing.quotes.finding import agreed, current, expired, open_draft, versions
from shoprepair.pricing.quotes.lines import NoSuchLine, add_line, change, change_line, move_line, remove_line
from shoprepair.pricing.quotes.sending import NotOut, NotSendable, send, withdraw
from shoprepair.pricing.quotes.steps import NotADraft, subject
from shoprepair.pricing.stale import Stale

__all__ = [
    "JobClosed",
    "NoSuchLine",
    "NotADraft",
    "NotOut",
    "NotSendable",
    "Stale",
    "add_line",
    "agreed",
    "change",
    "change_line",
    "current",
    "discard",
    "draft",
    "expired",
    "move_line",
    "open_draft",
    "refresh",
    "remove_line",
    "revise",
    "send",
    "subject",
    "versions",
    "withdraw",
]

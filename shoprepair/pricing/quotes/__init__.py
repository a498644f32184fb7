"""Quotes: drafted from the repairs, changed by people, sent out, revised and withdrawn."""

from shoprepair.pricing.quotes.adding import (
    IN_WORK,
    agreed_total,
    declined_damages,
    found_inside,
    not_asked,
    not_quoted,
    read_with,
    together,
)
from shoprepair.pricing.quotes.drafting import JobClosed, NotInForce, discard, draft, refresh, revise
from shoprepair.pricing.quotes.finding import (
    agreed,
    agreements,
    current,
    declined_additions,
    expired,
    of,
    open_draft,
    read_all_once,
    versions,
    waiting_addition,
)
from shoprepair.pricing.quotes.lines import NoSuchLine, add_line, change, change_line, move_line, remove_line
from shoprepair.pricing.quotes.sending import NotOut, NotSendable, send, withdraw
from shoprepair.pricing.quotes.steps import NotADraft, subject
from shoprepair.pricing.stale import Stale

__all__ = [
    "IN_WORK",
    "JobClosed",
    "NoSuchLine",
    "NotADraft",
    "NotInForce",
    "NotOut",
    "NotSendable",
    "Stale",
    "add_line",
    "agreed",
    "agreed_total",
    "agreements",
    "change",
    "change_line",
    "current",
    "declined_additions",
    "declined_damages",
    "discard",
    "draft",
    "expired",
    "found_inside",
    "move_line",
    "not_asked",
    "not_quoted",
    "of",
    "open_draft",
    "read_all_once",
    "read_with",
    "refresh",
    "remove_line",
    "revise",
    "send",
    "subject",
    "together",
    "versions",
    "waiting_addition",
    "withdraw",
]

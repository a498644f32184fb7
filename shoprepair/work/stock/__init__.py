"""Materials in the shop: their lots, what repairs take of them, what is promised to agreed work.

A lot's `left` always equals what came in, less its uses, plus what countings found more (or less).
"""

from shoprepair.work.stock.levels import Level, levels, to_order
from shoprepair.work.stock.lots import Closing, choose_lot, close, count, expired, receive, reopen
from shoprepair.work.stock.proposing import Proposal, for_step, on_shelf, proposals
from shoprepair.work.stock.quantities import read_quantity, say_level, say_quantity
from shoprepair.work.stock.refusals import StockRefused
from shoprepair.work.stock.reserving import Reserved, reserve, reserved_by
from shoprepair.work.stock.rules import change_rule, rule_of, shelf_of
from shoprepair.work.stock.tracing import Taken, lots_of, used_by
from shoprepair.work.stock.using import put_back, use

__all__ = [
    "Closing",
    "Level",
    "Proposal",
    "Reserved",
    "StockRefused",
    "Taken",
    "change_rule",
    "choose_lot",
    "close",
    "count",
    "expired",
    "for_step",
    "levels",
    "lots_of",
    "on_shelf",
    "proposals",
    "put_back",
    "read_quantity",
    "receive",
    "reopen",
    "reserve",
    "reserved_by",
    "rule_of",
    "say_level",
    "say_quantity",
    "shelf_of",
    "to_order",
    "use",
    "used_by",
]

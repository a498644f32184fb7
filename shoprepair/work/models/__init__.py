from shoprepair.work.models.calendar import (
    BenchHours,
    ExpectedParts,
    Forecast,
    Holiday,
    NextFree,
    WorkRules,
)
from shoprepair.work.models.hand_back import HandBack, Invoice, Payment
from shoprepair.work.models.hold_tests import HoldReading, HoldTest
from shoprepair.work.models.steps import Check, Step, StepPhoto, Stint, Tick
from shoprepair.work.models.stock import Lot, Need, StockCount, StockRule, Use

__all__ = [
    "BenchHours",
    "Check",
    "ExpectedParts",
    "Forecast",
    "HandBack",
    "HoldReading",
    "HoldTest",
    "Holiday",
    "Invoice",
    "Lot",
    "Need",
    "NextFree",
    "Payment",
    "Step",
    "StepPhoto",
    "Stint",
    "StockCount",
    "StockRule",
    "Tick",
    "Use",
    "WorkRules",
]

"""A hold test as it is kept, handed to the arithmetic: its readings, its tube, the limits of its day."""

from collections.abc import Iterable
from typing import Any

from django.utils import timezone

from shoprepair.jobs.models import Job
from shoprepair.jobs.stored import plain
from shoprepair.mechanics.description import Figure
from shoprepair.shop.said import keep
from shoprepair.shop.units.saying import stored_sentence
from shoprepair.work import hold_test, hold_tubes, rules
from shoprepair.work.gauges import step_pa
from shoprepair.work.hold_test import Allowance, Judged
from shoprepair.work.leak import Leak
from shoprepair.work.models import HoldReading, HoldTest
from shoprepair.work.readings import Reading, Sureness
from shoprepair.work.sealed import TestedTube
from shoprepair.work.suspects import Suspect

VERDICTS = {
    hold_test.Verdict.HOLDS: HoldTest.Verdict.HOLDS,
    hold_test.Verdict.FAILS: HoldTest.Verdict.FAILS,
    hold_test.Verdict.OPEN: HoldTest.Verdict.OPEN,
}


def limits(job: Job) -> dict[str, float]:
    """What the shop allows today, and the cloth that the test is reckoned with, SI."""
    now = rules.current()
    return {
        "share_per_hour": now.allowed_loss_percent_per_hour / 100,
        "least_s": now.least_minutes * 60.0,
        "gauge_share": now.gauge_percent / 100,
        "kelvin": now.thermometer_k,
        "home_height_m": now.shop_height_m,
        "stiffness_n_per_m": hold_tubes.stiffness(job.inflatable.pattern),
    }


def judge(test: HoldTest, readings: Iterable[HoldReading] | None = None) -> Judged:
    """The answer of a test's readings, or of those given, by the limits of the day it began."""
    if readings is None:
        readings = test.readings.filter(removed_at=None)
    by = test.allowance
    return hold_test.judge(
        [as_reading(each) for each in readings],
        tube=tube(test),
        allowance=Allowance(share_per_hour=by["share_per_hour"], least_s=by["least_s"]),
        sureness=sureness(test),
    )


def tube(test: HoldTest) -> TestedTube:
    """What is under test, as its figures were when it began."""
    return TestedTube(
        volume_m3=test.volume_m3,
        radius_m=test.radius_m,
        stiffness_n_per_m=test.allowance["stiffness_n_per_m"],
        home_height_m=test.allowance["home_height_m"],
    )


def sureness(test: HoldTest) -> Sureness:
    """How far the gauge and the thermometer may be off, as the shop held when the test began."""
    return Sureness(gauge_share=test.allowance["gauge_share"], kelvin=test.allowance["kelvin"])


def as_reading(kept: HoldReading) -> Reading:
    """A kept reading by the shop's clock, as the arithmetic takes it."""
    return Reading(
        pressure_pa=kept.pressure_pa,
        temperature_k=kept.temperature_k,
        at=timezone.localtime(kept.at),
        typed=kept.pressure_typed,
        height_m=kept.height_m,
        step_pa=step_pa(kept.pressure_typed),
    )


def stored(judged: Judged, suspects: Iterable[Suspect] = (), *, reason: str = "") -> dict[str, Any]:
    """The figures and sentences of a verdict as JSON takes them, in SI.

    A sentence keeps what it was made of, so that each reads it in their own language (`shop.said`).
    """
    return {
        "verdict": judged.verdict.value,
        "reason": stored_sentence(judged.reason),
        "because": stored_sentence(judged.because) if judged.because else None,
        "leak": _leak(judged.leak),
        "leak_at_most": _leak(judged.leak_at_most),
        "notes": [stored_sentence(note) for note in judged.notes],
        "figures": [_in_english(figure) for figure in judged.figures],
        "suspects": [{"words": stored_sentence(one.words), "damage": one.damage} for one in suspects],
        "decided_because": reason,
    }


def _in_english(figure: Figure) -> dict[str, Any]:
    """A figure with the words that are looked up wherever it is shown."""
    words = {name: keep(getattr(figure, name)) for name in ("name", "formula", "source")}
    kept: dict[str, Any] = plain(figure)
    return kept | {name: said[0] if isinstance(said, list) else said for name, said in words.items()}


def _leak(leak: Leak | None) -> dict[str, Any] | None:
    return None if leak is None else plain(leak)

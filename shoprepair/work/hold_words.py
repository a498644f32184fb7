"""The answers of a hold test as the shop would say them, and its figures laid open."""

import math
from collections.abc import Sequence
from datetime import datetime
from typing import Protocol

from shoprepair.mechanics.description import Figure, Quantity, Sentence
from shoprepair.mechanics.outcome import given, step
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.said import gettext
from shoprepair.work.leak import Leak
from shoprepair.work.readings import Reading, Sureness
from shoprepair.work.saying import moment
from shoprepair.work.sealed import TestedTube

NONE_YET = Sentence(
    gettext_lazy("No reading yet: pump to test pressure, let it settle, and read the gauge and the casing.")
)
SETTLED = Sentence(
    gettext_lazy(
        "Most was lost at the start and little since: fresh cloth gives and pumped air cools. If it had just "
        "been pumped, top it up and begin anew."
    )
)
READ = gettext_lazy("the readings")
SETTINGS = gettext_lazy("the shop's settings")
GAS_LAW = gettext_lazy("ideal gas law, in cloth that gives")
DECAY = gettext_lazy("pressure decay (ASTM E2930), times what the cloth gives")
ORIFICE = gettext_lazy("flow of air through a sharp-edged hole")


class Loss(Protocol):
    """What the words need of `hold_test.Missing`."""

    @property
    def reading(self) -> Reading: ...
    @property
    def seconds(self) -> float: ...
    @property
    def lost_pa(self) -> float: ...
    @property
    def unsure_pa(self) -> float: ...
    @property
    def allowed_pa(self) -> float: ...


def reason(verdict: str, missing: Sequence[Loss], count: int) -> Sentence:
    """The one sentence that decides, with what it comes to, for whoever reads it alone."""
    if not missing:
        return _before_a_second_time(count)
    last = _telling(verdict, missing)
    return Sentence(
        gettext(
            "%(OPENINGS)s: brought to one temperature, %(last)s in {time}, give or take "
            "{unsure}; {allowed} would be allowed."
        )
        % {"OPENINGS": _OPENINGS[verdict], "last": _lost(last)},
        _quantities(last),
    )


def because(verdict: str, missing: Sequence[Loss]) -> Sentence | None:
    """The same without what it comes to, for where that stands over it already; None before a second time."""
    if not missing:
        return None
    last = _telling(verdict, missing)
    return Sentence(
        gettext(
            "Brought to one temperature, %(last)s in {time}, give or take "
            "{unsure}; {allowed} would be allowed."
        )
        % {"last": _lost(last)},
        _quantities(last),
    )


def _telling(verdict: str, missing: Sequence[Loss]) -> Loss:
    """The reading that decides."""
    if verdict == "does not hold":
        return max(missing, key=lambda one: (one.lost_pa - one.unsure_pa - one.allowed_pa, -one.seconds))
    return missing[-1]


def _quantities(last: Loss) -> dict[str, Quantity]:
    return {
        "lost": Quantity(abs(as_sure(last)), "Pa"),
        "time": Quantity(last.seconds, "s"),
        "unsure": Quantity(last.unsure_pa, "Pa"),
        "allowed": Quantity(last.allowed_pa, "Pa"),
    }


def next_reading(last: Reading, decides_at: datetime | None) -> Sentence:
    """When to read again."""
    if decides_at is None:
        return Sentence(
            gettext(
                "The loss lies too near what is allowed for a later reading to part them: look for the leak, "
                "or test again with a finer gauge at a steady temperature."
            )
        )
    wait = (decides_at - last.instant).total_seconds()
    return Sentence(
        gettext("A reading at %(decides_at)s, {wait} after the last, would decide if the temperature stays.")
        % {"decides_at": moment(decides_at)},
        {"wait": Quantity(wait, "s")},
    )


def figures(
    first: Reading,
    missing: Sequence[Loss],
    tube: TestedTube,
    leak: Leak | None,
    allowed_share: float,
    sureness: Sureness,
) -> tuple[Figure, ...]:
    """The arithmetic of the last reading, line by line; empty before a second reading."""
    if not missing or leak is None:
        return ()
    last = missing[-1]
    inputs = _inputs(first, last.reading, tube, sureness)
    back = step(gettext("brought back"), first.pressure_pa - last.lost_pa, "Pa", _BACK, GAS_LAW)
    lost = step("lost", last.lost_pa, "Pa", gettext("first pressure - brought back"), READ)
    give_or_take = step(
        gettext("give or take"),
        last.unsure_pa,
        "Pa",
        _UNSURE,
        gettext("ISO/IEC Guide 98-3, independent errors"),
    )
    time = given(gettext("time between"), last.seconds, "s", READ)
    share = step(
        gettext("lost an hour"), leak.loss_per_hour, "", gettext("lost ÷ first pressure ÷ hours"), READ
    )
    limit = given(gettext("allowed an hour"), allowed_share, "", SETTINGS, assumed=True)
    air_lost = step(gettext("air lost"), leak.ml_per_minute, "ml/min", _AIR, DECAY)
    return (*inputs, back, lost, give_or_take, time, share, limit, air_lost, *_as_a_hole(leak))


_OPENINGS = {
    "holds": gettext_lazy("It holds"),
    "does not hold": gettext_lazy("It does not hold"),
    "cannot tell yet": gettext_lazy("Nobody can tell yet"),
}
_BACK = gettext_lazy(
    "what the last pressure would be at the first temperature and height, the cloth giving with it"
)
_UNSURE = gettext_lazy("root of the squares of gauge, step and thermometer, of both readings")
_AIR = gettext_lazy(
    "volume × lost ÷ time between, at sea-level pressure and the first temperature, × what the cloth gives"
)


def _before_a_second_time(count: int) -> Sentence:
    if count > 1:
        return Sentence(
            gettext("All readings are of one moment: no time lies between them in which air could be lost.")
        )
    return Sentence(gettext("One reading says how hard the tube is, not whether it holds."))


def as_sure(last: Loss) -> float:
    """What was lost, no finer than to a tenth of the first figure of what it is unsure by."""
    if last.unsure_pa <= 0:
        return last.lost_pa
    return round(last.lost_pa, 1 - math.floor(math.log10(last.unsure_pa)))


def _lost(last: Loss) -> str:
    lost_pa = as_sure(last)
    if lost_pa > -1:
        return gettext("it lost {lost}") if lost_pa >= 1 else gettext("it lost nothing")
    return gettext("it lost nothing ({lost} more was read)")


def _inputs(first: Reading, last: Reading, tube: TestedTube, sureness: Sureness) -> tuple[Figure, ...]:
    return (
        given(gettext("first pressure"), first.pressure_pa, "Pa", READ),
        given(gettext("first temperature"), first.temperature_k, "K", READ),
        given(gettext("last pressure"), last.pressure_pa, "Pa", READ),
        given(gettext("last temperature"), last.temperature_k, "K", READ),
        given("volume", tube.volume_m3, "m3", gettext("the pattern")),
        given(
            gettext("gauge's error"),
            sureness.gauge_share,
            "",
            gettext("share of what it shows"),
            assumed=True,
        ),
    )


def _as_a_hole(leak: Leak) -> tuple[Figure, ...]:
    if leak.pinhole_m is None:
        return ()
    return (
        step(
            "pinhole",
            leak.pinhole_m,
            "m",
            gettext("the one round hole that loses as much in the time"),
            ORIFICE,
        ),
        step(
            gettext("time to soft"),
            leak.seconds_to_soft,
            "s",
            gettext("until pinhole has let out half first pressure"),
            ORIFICE,
        ),
    )

"""The answers of a hold test as the shop would say them, and its figures laid open."""

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol

from shoprepair.mechanics.description import Figure, Quantity, Sentence
from shoprepair.mechanics.outcome import given, step
from shoprepair.work.leak import Leak
from shoprepair.work.readings import Reading, Sureness
from shoprepair.work.saying import moment
from shoprepair.work.sealed import TestedTube

NONE_YET = Sentence(
    "No reading yet: pump to test pressure, let it settle, and read the gauge and the casing."
)
SETTLED = Sentence(
    "Most was lost at the start and little since: fresh cloth gives and pumped air cools. If it had just "
    "been pumped, top it up and begin anew."
)
READ = "the readings"
SETTINGS = "the shop's settings"
GAS_LAW = "ideal gas law, in cloth that gives"
DECAY = "pressure decay (ASTM E2930), times what the cloth gives"
ORIFICE = "flow of air through a sharp-edged hole"


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
    """The one sentence that decides."""
    if not missing:
        return _before_a_second_time(count)
    last = missing[-1]
    if verdict == "does not hold":
        last = max(missing, key=lambda one: (one.lost_pa - one.unsure_pa - one.allowed_pa, -one.seconds))
    return Sentence(
        f"{_OPENINGS[verdict]}: brought to one temperature, {_lost(last)} in {{time}}, "
        "give or take {unsure}; {allowed} would be allowed.",
        {
            "lost": Quantity(abs(last.lost_pa), "Pa"),
            "time": Quantity(last.seconds, "s"),
            "unsure": Quantity(last.unsure_pa, "Pa"),
            "allowed": Quantity(last.allowed_pa, "Pa"),
        },
    )


def next_reading(last: Reading, decides_at: datetime | None) -> Sentence:
    """When to read again."""
    if decides_at is None:
        return Sentence(
            "The loss lies too near what is allowed for a later reading to part them: look for the leak, "
            "or test again with a finer gauge at a steady temperature."
        )
    wait = (decides_at - last.instant).total_seconds()
    return Sentence(
        f"A reading at {moment(decides_at)}, {{wait}} after the last, would decide if the temperature stays.",
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
    back = step("brought back", first.pressure_pa - last.lost_pa, "Pa", _BACK, GAS_LAW)
    lost = step("lost", last.lost_pa, "Pa", "first pressure - brought back", READ)
    give_or_take = step(
        "give or take", last.unsure_pa, "Pa", _UNSURE, "ISO/IEC Guide 98-3, independent errors"
    )
    time = given("time between", last.seconds, "s", READ)
    share = step("lost an hour", leak.loss_per_hour, "", "lost ÷ first pressure ÷ hours", READ)
    limit = given("allowed an hour", allowed_share, "", SETTINGS, assumed=True)
    air_lost = step("air lost", leak.ml_per_minute, "ml/min", _AIR, DECAY)
    return (*inputs, back, lost, give_or_take, time, share, limit, air_lost, *_as_a_hole(leak))


_OPENINGS = {
    "holds": "It holds",
    "does not hold": "It does not hold",
    "cannot tell yet": "Nobody can tell yet",
}
_BACK = "what the last pressure would be at the first temperature and height, the cloth giving with it"
_UNSURE = "root of the squares of gauge, step and thermometer, of both readings"
_AIR = "volume × lost ÷ time between, at sea-level pressure and the first temperature, × what the cloth gives"


def _before_a_second_time(count: int) -> Sentence:
    if count > 1:
        return Sentence(
            "All readings are of one moment: no time lies between them in which air could be lost."
        )
    return Sentence("One reading says how hard the tube is, not whether it holds.")


def _lost(last: Loss) -> str:
    if last.lost_pa > -1:
        return "it lost {lost}" if last.lost_pa >= 1 else "it lost nothing"
    return "it lost nothing ({lost} more was read)"


def _inputs(first: Reading, last: Reading, tube: TestedTube, sureness: Sureness) -> tuple[Figure, ...]:
    return (
        given("first pressure", first.pressure_pa, "Pa", READ),
        given("first temperature", first.temperature_k, "K", READ),
        given("last pressure", last.pressure_pa, "Pa", READ),
        given("last temperature", last.temperature_k, "K", READ),
        given("volume", tube.volume_m3, "m3", "the pattern"),
        given("gauge's error", sureness.gauge_share, "", "share of what it shows", assumed=True),
    )


def _as_a_hole(leak: Leak) -> tuple[Figure, ...]:
    if leak.pinhole_m is None:
        return ()
    return (
        step("pinhole", leak.pinhole_m, "m", "the one round hole that loses as much in the time", ORIFICE),
        step(
            "time to soft",
            leak.seconds_to_soft,
            "s",
            "until pinhole has let out half first pressure",
            ORIFICE,
        ),
    )

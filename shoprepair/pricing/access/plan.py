"""Which closing seams are unpicked and where, so that all repairs of a job are reached in the least time."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import groupby, pairwise

from django.utils.translation import gettext

from shoprepair.gear.describe import planform
from shoprepair.gear.planform import Planform
from shoprepair.jobs.models import Job
from shoprepair.mechanics.description import Quantity, Sentence
from shoprepair.pricing import openings as exact
from shoprepair.pricing import rules as price_rules
from shoprepair.pricing.models import PriceRules, Repair
from shoprepair.pricing.proposals import layups
from shoprepair.pricing.proposals.propose import repairs_of_job
from shoprepair.pricing.tubes import TubeLine, key_of, place_of, tube

TENTH = Decimal("0.1")
_SLACK_M = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """A repair that an opening is for: its damage's number and the stretch of tube it takes, m."""

    damage: int
    repair_id: int
    name: str
    start_m: float
    end_m: float
    bladder_out: bool

    @property
    def middle_m(self) -> float:
        return (self.start_m + self.end_m) / 2

    @property
    def span_m(self) -> tuple[float, float]:
        """Middle and half extent, as the plan takes it."""
        return self.middle_m, (self.end_m - self.start_m) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A stretch of closing seam that is unpicked and sewn again, shared by the repairs it serves."""

    tube_key: str
    tube_label: str
    start_m: float
    end_m: float
    damages: tuple[int, ...]
    repairs: tuple[int, ...]
    """Ids of the repairs reached through it."""
    minutes: Decimal
    bladder_out: bool
    words: Sentence

    @property
    def length_m(self) -> float:
        return self.end_m - self.start_m


@dataclass(frozen=True, slots=True, kw_only=True)
class TubePlan:
    """One tube with what is done to it."""

    tube: TubeLine
    reached: tuple[Reached, ...]
    openings: tuple[Opening, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """All openings of a job."""

    tubes: tuple[TubePlan, ...]
    minutes_saved: Decimal
    """Against opening the seam for each damage by itself."""
    unreachable: tuple[Sentence, ...]
    unreachable_repairs: tuple[int, ...] = ()

    @property
    def openings(self) -> tuple[Opening, ...]:
        return tuple(opening for one in self.tubes for opening in one.openings)

    @property
    def minutes(self) -> Decimal:
        return sum((opening.minutes for opening in self.openings), Decimal(0))


def openings(job: Job, rules: PriceRules | None = None) -> tuple[Opening, ...]:
    """Where closing seams of a job are unpicked, by tube and from left to right."""
    return plan(job, rules).openings


def plan(job: Job, rules: PriceRules | None = None, repairs: Iterable[Repair] | None = None) -> Plan:
    """The openings that serve all advised repairs of a job in the least bench time, each tube exactly.

    `repairs` spares asking for them again; of those only the advised ones are opened for. A repair that
    no opening can reach is said, not raised.
    """
    rules = rules or price_rules.current()
    found = repairs_of_job(job) if repairs is None else repairs
    inside = [repair for repair in found if repair.preferred and repair.operation.needs_opening]
    drawn = planform(job.inflatable.pattern)
    by_tube = sorted(((key_of(repair.damage), repair) for repair in inside), key=lambda pair: pair[0] or "")
    tubes, saved, out_of_reach = [], Decimal(0), []
    for key, group in groupby(by_tube, key=lambda pair: pair[0]):
        if key is None:
            continue
        line = tube(drawn, key)
        here = []
        for _, repair in group:
            parts = _in_reach(_reached(repair, line, drawn), line, rules)
            here += parts
            out_of_reach += [] if parts else [(_reached(repair, line, drawn), line)]
        tubes.append(_plan_tube(line, here, rules))
        saved += _saved(tubes[-1], line, rules)
    return Plan(
        tubes=tuple(tubes),
        minutes_saved=max(saved, Decimal(0)),
        unreachable=tuple(_out_of_reach(each, line) for each, line in out_of_reach),
        unreachable_repairs=tuple(each.repair_id for each, _ in out_of_reach),
    )


def alone(job: Job, repair: Repair, rules: PriceRules) -> Decimal:
    """Bench time in minutes to reach one repair by itself; nought where it needs no opening or has none."""
    drawn, key = planform(job.inflatable.pattern), key_of(repair.damage)
    if key is None or not repair.operation.needs_opening:
        return Decimal(0)
    line = tube(drawn, key)
    parts = _in_reach(_reached(repair, line, drawn), line, rules)
    spans = _exactly(parts, line, rules) if parts else []
    return sum((minutes_of(end - start, rules) for start, end in spans), Decimal(0))


def minutes_of(length_m: float, rules: PriceRules) -> Decimal:
    """Bench time of one opening, to a tenth of a minute."""
    minutes: Decimal = rules.opening_fixed_minutes + rules.opening_minutes_per_m * Decimal(
        str(round(length_m, 3))
    )
    return minutes.quantize(TENTH)


def _reached(repair: Repair, line: TubeLine, drawn: Planform) -> Reached:
    at, half = place_of(repair.damage, drawn), half_extent(repair)
    start, end = max(0.0, at - half), min(line.length_m, at + half)
    return Reached(
        damage=repair.damage.number,
        repair_id=repair.pk,
        name=repair.operation.name,
        start_m=min(start, line.length_m),
        end_m=max(end, 0.0),
        bladder_out=repair.operation.bladder_out,
    )


def half_extent(repair: Repair) -> float:
    """Half the stretch of tube that a repair takes, m: its patch, its seam, else the damage itself."""
    layup, demand = layups.read(repair.layup), layups.read_asked(repair.layup)
    if layup is not None and hasattr(layup, "outline_m"):
        return float(layup.outline_m[0]) / 2
    if demand is not None:
        return demand.extent_m[0] / 2
    return (repair.damage.length_m or 0.0) / 2


def _plan_tube(line: TubeLine, here: Sequence[Reached], rules: PriceRules) -> TubePlan:
    spans = _exactly(here, line, rules)
    served: dict[tuple[float, float], list[Reached]] = {span: [] for span in spans}
    for each in here:
        served[next(span for span in spans if _serves(span, each, rules.opening_reach_m))].append(each)
    made = tuple(_opening(line, span, each, rules) for span, each in served.items() if each)
    return TubePlan(tube=line, reached=tuple(sorted(here, key=lambda r: r.middle_m)), openings=made)


def _exactly(here: Sequence[Reached], line: TubeLine, rules: PriceRules) -> list[tuple[float, float]]:
    return exact.plan(
        [each.span_m for each in here],
        line.length_m,
        float(rules.opening_fixed_minutes),
        float(rules.opening_minutes_per_m),
        rules.opening_reach_m,
        min(rules.opening_least_m, line.length_m),
        line.forbidden,
    )


def _serves(span: tuple[float, float], each: Reached, reach_m: float) -> bool:
    return span[0] - reach_m <= each.start_m + _SLACK_M and span[1] + reach_m >= each.end_m - _SLACK_M


def _in_reach(each: Reached, line: TubeLine, rules: PriceRules) -> list[Reached]:
    """A repair as it is reached: whole, or from both sides of the fittings it lies across; [] if neither."""
    if _alone(each, line, rules) is not None:
        return [each]
    inside = [mark.at_m for mark in line.marks if each.start_m < mark.at_m < each.end_m]
    edges = [each.start_m, *inside, each.end_m]
    parts = [replace(each, start_m=low, end_m=high) for low, high in pairwise(edges)]
    return parts if inside and all(_alone(part, line, rules) is not None for part in parts) else []


def _alone(each: Reached, line: TubeLine, rules: PriceRules) -> list[tuple[float, float]] | None:
    """The opening for one repair by itself; None where there is none."""
    try:
        return _exactly([each], line, rules)
    except exact.OutOfReach:
        return None


def _opening(
    line: TubeLine, span: tuple[float, float], served: Sequence[Reached], rules: PriceRules
) -> Opening:
    damages = tuple(sorted({each.damage for each in served}))
    bladder_out = any(each.bladder_out for each in served)
    return Opening(
        tube_key=line.key,
        tube_label=line.label,
        start_m=span[0],
        end_m=span[1],
        damages=damages,
        repairs=tuple(dict.fromkeys(each.repair_id for each in served)),
        minutes=minutes_of(span[1] - span[0], rules),
        bladder_out=bladder_out,
        words=_words(line, span, damages, bladder_out=bladder_out),
    )


def _words(
    line: TubeLine, span: tuple[float, float], damages: Sequence[int], *, bladder_out: bool
) -> Sentence:
    where, values = _where(line, span)
    bladder = gettext(" and draw its bladder") if bladder_out else ""
    served = numbered(damages)
    return Sentence(
        gettext("Unpick {length} of the closing seam on the %(label)s, %(where)s%(bladder)s, for %(served)s.")
        % {"label": line.label, "where": where, "bladder": bladder, "served": served},
        {"length": Quantity(span[1] - span[0], "m"), **values},
    )


def _where(line: TubeLine, span: tuple[float, float]) -> tuple[str, dict[str, Quantity]]:
    """Where an opening lies, as a tape would measure it from the centre or from the leading edge."""
    if not line.key.startswith("strut"):
        low, high = (at - line.length_m / 2 for at in span)
        values = {"from": Quantity(abs(low), "m"), "to": Quantity(abs(high), "m")}
        if low < 0 < high:
            return gettext("from {from} left of the centre to {to} right of it"), values
        if high <= 0:
            return gettext("from {from} to {to} left of the centre"), values
        return gettext("from {from} to {to} right of the centre"), values
    values = {"from": Quantity(span[0], "m"), "to": Quantity(span[1], "m")}
    return gettext("from {from} to {to} behind the leading edge"), values


def numbered(damages: Sequence[int]) -> str:
    """'damage 2', 'damages 2 and 3', 'damages 1, 2 and 5'."""
    if len(damages) == 1:
        return gettext("damage %(damages)s") % {"damages": damages[0]}
    return gettext("damages %(join)s and %(damages)s") % {
        "join": ", ".join(map(str, damages[:-1])),
        "damages": damages[-1],
    }


def _saved(planned: TubePlan, line: TubeLine, rules: PriceRules) -> Decimal:
    """Minutes that sharing spares on a tube: each damage opened by itself, less what is planned."""
    by_damage = groupby(sorted(planned.reached, key=lambda r: r.damage), key=lambda r: r.damage)
    alone = Decimal(0)
    for _, group in by_damage:
        alone += sum(
            (minutes_of(end - start, rules) for start, end in _exactly(list(group), line, rules)), Decimal(0)
        )
    return alone - sum((opening.minutes for opening in planned.openings), Decimal(0))


def _out_of_reach(each: Reached, line: TubeLine) -> Sentence:
    return Sentence(
        gettext(
            "“%(name)s” for damage %(damage)s on the %(label)s cannot be reached through "
            "the closing seam: valves and strut joints are in the way. Plan another way "
            "in."
        )
        % {"name": each.name, "damage": each.damage, "label": line.label}
    )

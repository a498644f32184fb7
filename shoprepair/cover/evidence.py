"""What speaks for and against a later damage being the repair's own, each thing with its sentence."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Literal

from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.footprints import Footprint
from shoprepair.cover.layers import LAYERS, layers
from shoprepair.cover.meeting import Meeting
from shoprepair.gear.words import ordinal
from shoprepair.mechanics.description import Answer, FindingKind, Quantity, Sentence
from shoprepair.shop.counted import counted
from shoprepair.shop.languages import gettext_lazy

if TYPE_CHECKING:
    from shoprepair.cover.reading import Record

Speaks = Literal["for", "against", "neither"]
MOSTLY = 0.5
WHOLLY = 0.999
BESIDE_A_SEAM_M = 0.020
"""A seam that opened so near to one of the maker's is that one: a finger's width on the drawing."""
AT_THE_MIRROR_M = 0.10
"""So near to the mirror place of a rebuilt burst a damage is there [common practice, no source]."""
SOON_DAYS = 90
"""What gives way so soon was most likely never sound [common practice, no source]."""
FROM_OUTSIDE = {
    FindingKind.CUT: gettext_lazy("It is a cut: something sharp made it, whatever lies beneath."),
    FindingKind.HOLE: gettext_lazy("It is a hole: something pierced it from outside."),
    FindingKind.SCUFF: gettext_lazy("It is scraped: rubbing did that, not load."),
}
NOTHING_GAVE_WAY = (FindingKind.RESIDUE, FindingKind.STAIN)
UNDER_PRESSURE = (FindingKind.BURST, FindingKind.SEAM_OPENED, FindingKind.LEAK)


@dataclass(frozen=True, kw_only=True, slots=True)
class Later:
    """The new damage and what was said of it."""

    damage: DamageView
    on: date
    over_pressure: Answer = Answer.UNKNOWN
    """Whether it was pumped beyond its rated pressure, or left in the heat when full."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Repaired:
    """What a cover says of the repair that a damage is held against, in plain values."""

    number: int
    kind: str
    """What was mended."""
    on: date
    until: date | None
    ended: str
    """Why the cover no longer stands, as an Ending's reason; empty while it does."""
    footprint: Footprint
    strength_n_per_m: float | None = None
    required_n_per_m: float | None = None
    """What the lay-up carries, and what the place asked of it that day."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Evidence:
    key: str
    speaks: Speaks
    sentence: Sentence


def repaired(record: "Record", footprint: Footprint, ended: str = "") -> Repaired:
    """The facts of a record that weigh; `ended` is the reason of its ending, if it has one."""
    kinds = [damage.kind for damage in record.damages if damage.number == footprint.damage]
    return Repaired(
        number=record.number,
        kind=kinds[0] if kinds else "",
        on=record.given_at.date(),
        until=record.until,
        ended=ended,
        footprint=footprint,
        strength_n_per_m=record.layup.get("strength_n_per_m"),
        required_n_per_m=record.layup.get("required_n_per_m"),
    )


def weigh(repair: Repaired, meeting: Meeting, later: Later) -> tuple[Evidence, ...]:
    """All that speaks for and against, and what only has to be known, the weightiest first."""
    held = _Held(repair, meeting, later)
    return tuple(each for look in _LOOKS for each in look(held))


@dataclass(frozen=True, slots=True)
class _Held:
    repair: Repaired
    meeting: Meeting
    later: Later

    @property
    def kind(self) -> FindingKind | None:
        return self.later.damage.finding

    @property
    def at_the_mirror(self) -> bool:
        distance = self.meeting.mirror_distance_m
        return self.repair.kind == FindingKind.BURST and distance is not None and distance <= AT_THE_MIRROR_M


def _standing(held: _Held) -> Iterator[Evidence]:
    repair = held.repair
    if repair.ended == "replaced":
        yield _against(
            "replaced", gettext("A later repair took the place of this one: its own cover decides.")
        )
    elif repair.ended:
        yield _against(
            "terms-over",
            gettext("This cover no longer stands: %(get)s.")
            % {"get": _ENDED.get(repair.ended, repair.ended)},
        )
    elif repair.until and repair.until < held.later.on:
        yield _against(
            "terms-over", gettext("This cover ended on %(until)s.") % {"until": _day(repair.until)}
        )


_ENDED = {
    "taken back": gettext_lazy("the hand-back was taken back"),
    "retired": gettext_lazy("the gear is no longer used"),
    "passed on": gettext_lazy("the gear passed to a new owner"),
    "void": gettext_lazy("the owner ended it"),
}


def _where(held: _Held) -> Iterator[Evidence]:
    meeting = held.meeting
    if meeting.relation == "meets":
        yield _inside(meeting)
    elif not meeting.same_surface:
        yield _against("another-part", gettext("It lies on another part of the gear than the repair."))
    elif meeting.relation == "borders":
        text = gettext(
            "It begins {distance} beyond the repair's edge, where the cloth works harder than elsewhere."
        )
        yield Evidence(key="borders", speaks="neither", sentence=_length(text, meeting.distance_m))
    else:
        text = gettext("It lies {distance} from the repair.")
        yield Evidence(key="misses", speaks="against", sentence=_length(text, meeting.distance_m))


def _inside(meeting: Meeting) -> Evidence:
    if meeting.share_inside >= WHOLLY:
        return _for("inside", gettext("All of it lies inside the repair."))
    if meeting.share_inside >= MOSTLY:
        return _for("inside", gettext("Most of it lies inside the repair; the rest runs on beyond its edge."))
    text = gettext("It reaches {distance} into the repair; most of it lies beyond.")
    return Evidence(key="inside", speaks="neither", sentence=_length(text, meeting.depth_m))


def _row(held: _Held) -> Iterator[Evidence]:
    if held.meeting.row is not None:
        row = gettext("It runs along the %(ordinal)s row of stitches, counted from the edge") % {
            "ordinal": ordinal(held.meeting.row + 1)
        }
        yield _for(
            "stitch-row", gettext("%(row)s: the needle's holes are part of the repair.") % {"row": row}
        )


def _face(held: _Held) -> Iterator[Evidence]:
    meeting = held.meeting
    if not meeting.face_unknown or meeting.farthest_m is None:
        return
    text = gettext(
        "Nobody said on which side of the tube it lies: on the other it is {distance} from the repair."
    )
    yield Evidence(key="face-unknown", speaks="neither", sentence=_length(text, meeting.farthest_m))


def _layer(held: _Held) -> Iterator[Evidence]:
    layer = held.repair.footprint.layer
    hurt = layers(held.later.damage)
    if held.meeting.same_surface and held.kind and layer not in hurt:
        hurt_words = gettext(" and ").join(str(LAYERS[each]) for each in sorted(hurt))
        yield _against(
            "other-layer",
            gettext("The repair is of %(LAYERS)s; this damage is of %(hurt_words)s.")
            % {"LAYERS": LAYERS[layer], "hurt_words": hurt_words},
        )


def _cause(held: _Held) -> Iterator[Evidence]:
    kind = held.kind
    if held.meeting.relation == "misses":
        return
    if kind is None:
        sentence = Sentence(gettext("Nobody has said what kind of damage it is."))
        yield Evidence(key="kind-unknown", speaks="neither", sentence=sentence)
    elif kind in FROM_OUTSIDE:
        yield _against("cut-through", FROM_OUTSIDE[kind] + _rows_through(held.meeting))
    elif kind in NOTHING_GAVE_WAY:
        yield _against("nothing-gave-way", gettext("Nothing gave way here: it lies on the cloth."))


def _rows_through(meeting: Meeting) -> str:
    if not meeting.rows_crossed:
        return ""
    rows = (
        gettext("a row")
        if meeting.rows_crossed == 1
        else gettext("%(rows_crossed)s rows") % {"rows_crossed": meeting.rows_crossed}
    )
    return gettext(" It goes through %(rows)s of the repair's stitches.") % {"rows": rows}


def _seam(held: _Held) -> Iterator[Evidence]:
    meeting = held.meeting
    near = meeting.seam_m is not None and meeting.seam_m <= BESIDE_A_SEAM_M
    if held.kind is FindingKind.SEAM_OPENED and near and meeting.relation != "meets":
        yield _against(
            "maker-seam",
            gettext("It is %(seam)s: the maker sewed it, and it was not sewn again.")
            % {"seam": meeting.seam},
        )


def _mirror(held: _Held) -> Iterator[Evidence]:
    if held.at_the_mirror and held.meeting.relation == "misses":
        text = gettext(
            "It lies at the mirror place of the burst: after a burst that is the next to go, on its own."
        )
        yield Evidence(key="mirror-after-burst", speaks="neither", sentence=Sentence(text))


def _pressure(held: _Held) -> Iterator[Evidence]:
    said = held.later.over_pressure
    if said is Answer.YES:
        yield _against(
            "over-pressure", gettext("It was pumped beyond its pressure: no repair answers for that.")
        )
    elif said is Answer.UNKNOWN and held.kind in UNDER_PRESSURE and held.meeting.relation != "misses":
        text = gettext("Ask whether it was pumped beyond its pressure, or left full in the heat.")
        yield Evidence(key="over-pressure", speaks="neither", sentence=Sentence(text))


def _load(held: _Held) -> Iterator[Evidence]:
    damage, repair = held.later.damage, held.repair
    if held.meeting.relation == "misses":
        return
    carried, demand = repair.strength_n_per_m, damage.demand_n_per_m
    if carried is not None and demand is not None:
        values = {"demand": Quantity(demand, "N/m"), "carried": Quantity(carried, "N/m")}
        if carried < demand:
            text = gettext(
                "The place asks for {demand} and the repair carries {carried}: it is too weak for it."
            )
            yield Evidence(key="load", speaks="for", sentence=Sentence(text, values))
        else:
            text = gettext("The place asks for {demand}; the repair carries {carried}.")
            yield Evidence(key="load", speaks="neither", sentence=Sentence(text, values))
    if carried is not None and repair.required_n_per_m and carried < repair.required_n_per_m * WHOLLY:
        yield _for("short", gettext("The repair was sewn weaker than the place asked for that day."))
    if damage.load_ratio is not None:
        yield _ratio(damage.load_ratio)


def _ratio(ratio: float) -> Evidence:
    if ratio > _MOST_WRITTEN:
        sentence = Sentence(gettext("Nothing is left to carry the load there now."))
    else:
        text = gettext("Damaged as it is, the place is asked for {ratio} times what it still carries.")
        sentence = Sentence(text, {"ratio": Quantity(ratio, "")})
    return Evidence(key="load-ratio", speaks="neither", sentence=sentence)


_MOST_WRITTEN = 1000.0


def _age(held: _Held) -> Iterator[Evidence]:
    days = (held.later.on - held.repair.on).days
    sentence = gettext("The repair is %(days)s old.") % {"days": age_words(days)}
    soon = days < SOON_DAYS and held.meeting.relation == "meets"
    yield Evidence(key="age", speaks="for" if soon else "neither", sentence=Sentence(sentence))


def age_words(days: int) -> str:
    """'12 days', '7 months', '3 years', '2 years and 5 months': a month taken as 30.4 days."""
    months = int(days / 30.4375)
    if months < 2:
        return counted(max(days, 0), "day")
    years, rest = divmod(months, 12)
    parts = [counted(years, "year")] if years else []
    parts += [counted(rest, "month")] if rest and years < _MONTHS_TOLD_UNTIL else []
    return gettext(" and ").join(parts)


_MONTHS_TOLD_UNTIL = 5


def _day(day: date) -> str:
    return date_format(day, "j F Y")


def _length(text: str, metres: float) -> Sentence:
    return Sentence(text, {"distance": Quantity(metres, "m")})


def _for(key: str, text: str) -> Evidence:
    return Evidence(key=key, speaks="for", sentence=Sentence(text))


def _against(key: str, text: str) -> Evidence:
    return Evidence(key=key, speaks="against", sentence=Sentence(text))


_LOOKS: tuple[Callable[[_Held], Iterator[Evidence]], ...] = (
    _standing,
    _where,
    _row,
    _cause,
    _pressure,
    _layer,
    _seam,
    _mirror,
    _load,
    _face,
    _age,
)

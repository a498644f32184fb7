"""A later damage laid beside every footprint on its gear: where they meet, and what is proposed.

While a claim is open it is reckoned anew each time; what was decided on is kept with the claim as seen then.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils import timezone

from shoprepair.cover import damage_view, standing
from shoprepair.cover.evidence import Evidence, Later, repaired, weigh
from shoprepair.cover.footprints import Footprint
from shoprepair.cover.meeting import Meeting, meet
from shoprepair.cover.models import Cover, Ending
from shoprepair.cover.proposal import Held, Proposal, propose
from shoprepair.cover.reading import Record, read
from shoprepair.cover.revive import revive
from shoprepair.gear.describe import planform
from shoprepair.jobs.models import Damage
from shoprepair.jobs.stored import plain
from shoprepair.mechanics.description import Answer


@dataclass(frozen=True, slots=True)
class Met:
    """One cover beside a later damage: where they meet, and what speaks for and against."""

    cover: Cover
    record: Record
    footprint: Footprint
    """Of the cover's footprints the nearest."""
    meeting: Meeting
    evidence: tuple[Evidence, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """All that is known when a damage is held against the covers of its gear."""

    later: Later
    met: tuple[Met, ...]
    """The nearest first."""
    proposal: Proposal

    def of(self, number: int | None) -> Met | None:
        """The one of this cover's number."""
        return next((each for each in self.met if each.cover.number == number), None)

    @property
    def deciding(self) -> Met | None:
        """The cover that the proposal speaks of, else the nearest."""
        return self.of(self.proposal.cover) or next(iter(self.met), None)


def compare(damage: Damage, over_pressure: str = Answer.UNKNOWN) -> Comparison:
    """Lay a damage beside the covers of its gear, as they and it are now."""
    later = later_of(damage, over_pressure)
    met = _laid(damage, standing.of(damage.job.inflatable), later)
    held = [Held(cover=each.cover.number, meeting=each.meeting, evidence=each.evidence) for each in met]
    return Comparison(later, tuple(met), propose(held))


def lay_beside(damage: Damage, covers: Iterable[Cover]) -> list[Met]:
    """A damage beside these covers of its gear, the nearest first."""
    return _laid(damage, covers, later_of(damage))


def later_of(damage: Damage, over_pressure: str = Answer.UNKNOWN) -> Later:
    """The new damage as it is laid beside an earlier repair."""
    view = damage_view.of(damage, planform(damage.job.inflatable.pattern))
    on = timezone.localdate(damage.created_at)
    return Later(damage=view, on=on, over_pressure=Answer(over_pressure))


def _laid(damage: Damage, covers: Iterable[Cover], later: Later) -> list[Met]:
    return sorted((_met(cover, later) for cover in _before(damage, covers)), key=nearness)


def _before(damage: Damage, covers: Iterable[Cover]) -> list[Cover]:
    """Covers of repairs that were there when the damage was found; not those whose hand-back was none."""
    return [
        cover
        for cover in covers
        if cover.job_id != damage.job_id and cover.given_at <= damage.created_at and not _never_given(cover)
    ]


def nearness(met: Met) -> tuple[bool, float, float, int]:
    """Sorts the nearest first, of equals the deepest, then the newest; other parts of the gear come last."""
    meeting = met.meeting
    return not meeting.same_surface, meeting.distance_m, -meeting.depth_m, -met.cover.number


def _met(cover: Cover, later: Later) -> Met:
    record, ending = read(cover), standing.ending_of(cover)
    ended = ending.reason if ending else ""
    meetings = [(each, meet(record.planform, each, later.damage)) for each in record.footprints]
    found = [
        Met(cover, record, footprint, meeting, weigh(repaired(record, footprint, ended), meeting, later))
        for footprint, meeting in meetings
    ]
    return min(found, key=nearness)


def _never_given(cover: Cover) -> bool:
    ending = standing.ending_of(cover)
    taken_back = ending is not None and ending.reason == Ending.Reason.NOT_HANDED_BACK
    return taken_back or not read(cover).footprints


def seen(comparison: Comparison) -> dict[str, Any]:
    """A comparison as a claim keeps it, in SI."""
    return {
        "later": {**plain(comparison.later), "on": comparison.later.on.isoformat()},
        "met": [
            {
                "cover": each.cover.number,
                "footprint": each.record.footprints.index(each.footprint),
                "meeting": plain(each.meeting),
                "evidence": plain(each.evidence),
            }
            for each in comparison.met
        ],
        "proposal": plain(comparison.proposal),
    }


def seen_again(kept: Mapping[str, Any], covers: Iterable[Cover]) -> Comparison:
    """The comparison that a claim keeps, with the covers that it names."""
    by_number = {cover.number: cover for cover in covers}
    later = kept["later"]
    return Comparison(
        Later(
            damage=revive(damage_view.DamageView, later["damage"]),
            on=date.fromisoformat(later["on"]),
            over_pressure=Answer(later["over_pressure"]),
        ),
        tuple(
            _met_again(each, by_number[each["cover"]]) for each in kept["met"] if each["cover"] in by_number
        ),
        revive(Proposal, kept["proposal"]),
    )


def _met_again(kept: Mapping[str, Any], cover: Cover) -> Met:
    record = read(cover)
    evidence = tuple(revive(Evidence, each) for each in kept["evidence"])
    footprint = record.footprints[kept["footprint"]]
    return Met(cover, record, footprint, revive(Meeting, kept["meeting"]), evidence)

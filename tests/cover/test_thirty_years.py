"""A claim thirty years later, when nobody and nothing of that day is left but the records."""

import datetime

import pytest
import time_machine
from django.utils import timezone

from shoprepair.cover import chain, claims, links, reading, standing
from shoprepair.cover.reading import read
from shoprepair.gear.models import Cloth, Pattern, Tube
from shoprepair.jobs.models import Damage, Job, Stage
from shoprepair.pricing.models import Material, Operation, PriceRules
from shoprepair.shop.models import LoadFigures, Shop, Staff
from shoprepair.work.models import Lot, WorkRules
from tests.cover.covering import covered
from tests.factories import JobFactory, StaffFactory
from tests.pricing.mending import on_the_edge

pytestmark = pytest.mark.django_db
YEARS = datetime.timedelta(days=30 * 365 + 8)


def everything_changes(settings) -> None:
    """Another catalogue, other figures of the pattern, other people, other settings, another key."""
    Operation.objects.update(name="Gone", cover_terms="", cover_months=1, cover_passes_on=False, active=False)
    Material.objects.update(active=False)
    for number, material in enumerate(Material.objects.all()):
        Material.objects.filter(pk=material.pk).update(name=f"Another material {number}")
    for number, cloth in enumerate(Cloth.objects.all()):
        Cloth.objects.filter(pk=cloth.pk).update(name=f"Another cloth {number}", strength_warp_n_per_m=900)
    Lot.objects.update(note="Thrown away.", closed=True)
    for pattern in Pattern.objects.all():
        Pattern.objects.filter(pk=pattern.pk).update(
            name=f"Another pattern {pattern.pk}",
            span_m=pattern.span_m * 1.4,
            chord_centre_m=pattern.chord_centre_m * 1.2,
            sweep_m=pattern.sweep_m * 0.8,
            version=pattern.version + 1,
        )
    Tube.objects.update(diameter_root_m=0.30, diameter_tip_m=0.20)
    for person in Staff.objects.all():
        Staff.objects.filter(pk=person.pk).update(
            username=f"left{person.pk}", first_name="", last_name="", is_active=False, role=Staff.Role.BENCH
        )
    Shop.objects.update(
        name="Another shop",
        address="Elsewhere",
        time_zone="Pacific/Auckland",
        currency="JPY",
        length_unit="in",
        pressure_unit="psi",
    )
    LoadFigures.objects.update_or_create(pk=1, defaults={"held_wind_m_per_s": 5, "safety_factor": 1})
    PriceRules.objects.update_or_create(pk=1, defaults={"hourly_rate": 1})
    WorkRules.objects.update_or_create(pk=1, defaults={"allowed_loss_percent_per_hour": 50})
    settings.SECRET_KEY = "a key that nobody had ever thought of thirty years before this very day"


def found_again(first: Job, station: float) -> Damage:
    """The same owner brings the same gear, with a cut at a station of its leading edge."""
    gear = Job.objects.get(pk=first.pk).inflatable
    job = JobFactory(inflatable=gear, customer=first.customer, stage=Stage.CHECKED_IN)
    return on_the_edge(job, station, "cut", mm=20)


def test_a_claim_thirty_years_later_is_compared_as_it_would_have_been_the_next_day(settings) -> None:
    given = covered()
    gear, first = given[0].inflatable, given[0].job
    printed = links.token(links.current(gear))
    records = [read(cover) for cover in given]
    with time_machine.travel(timezone.now() + datetime.timedelta(days=1)):
        inside = claims.meetings(found_again(first, 0.1))
        beside = claims.meetings(found_again(first, 0.6))

    everything_changes(settings)
    with time_machine.travel(timezone.now() + YEARS):
        reading.forget()
        assert [read(cover) for cover in standing.standing(gear)] == records
        late = found_again(first, 0.1)
        late_beside = found_again(first, 0.6)
        for now, then in ((claims.meetings(late), inside), (claims.meetings(late_beside), beside)):
            assert [each.cover for each in now] == [each.cover for each in then]
            assert [each.meeting.relation for each in now] == [each.meeting.relation for each in then]
            for meeting, before in ((a.meeting, b.meeting) for a, b in zip(now, then, strict=True)):
                assert meeting.distance_m == pytest.approx(before.distance_m, abs=1e-6)
        assert inside[0].meeting.relation == "meets"
        claim = claims.hold_against(late, who=StaffFactory())
        assert claim.cover in given
        assert links.find(printed).inflatable == gear
        assert chain.first_broken() is None

"""What stands behind the demo's repairs: covers, claims, gear that changed hands."""

from collections import Counter

from shoprepair.cover import chain, claims, links, standing, transfers
from shoprepair.cover.failing import bursts
from shoprepair.cover.failing.asked import Asked
from shoprepair.cover.models import Claim, Cover, CoverLink, Ending, Transfer
from shoprepair.cover.reading import read
from shoprepair.jobs.models import Job, Stage
from shoprepair.office.demo import passing
from shoprepair.office.demo.earlier import ANNELIESE, CENEK, IDA, LOVISE, SCHOOL_GREEN
from shoprepair.shop.settings import cases
from shoprepair.work.models import HandBack
from tests.office.demo import NOW, job_of

OURS, NEW, OPEN = Claim.Decision.OURS, Claim.Decision.NEW, Claim.Decision.OPEN


def test_covers_lie_behind_the_years_in_one_unbroken_chain_by_day():
    given = list(Cover.objects.values_list("given_at", flat=True))

    assert len(given) > 150
    assert given == sorted(given)
    assert given[-1] <= NOW
    assert chain.first_broken() is None


def test_each_cover_names_who_sewed_it_and_from_which_lots():
    assert Cover.objects.filter(lots=[]).count() < 10
    assert set(Counter(name for cover in Cover.objects.all() for name in cover.techs)) == {
        "Benno Skarre",
        "Runa Halvik",
    }


def test_nobody_has_covers_without_an_address_for_them():
    covered = set(Cover.objects.values_list("inflatable", flat=True))

    assert covered == set(CoverLink.objects.values_list("inflatable", flat=True))
    assert all(links.current(link.inflatable) == link for link in CoverLink.objects.all()[:5])


def test_one_wing_has_covers_from_three_visits_and_is_in_again():
    wing = passing.find(*IDA)
    covers = standing.of(wing)

    assert len({cover.job_id for cover in covers}) == 3
    assert all(read(cover).photos for cover in covers[:1])
    assert wing.jobs.filter(is_open=True).exists()


def test_claims_were_decided_both_ways_and_two_wait():
    decided = Counter(Claim.objects.values_list("decision", flat=True))

    assert decided == {OURS: 4, NEW: 1, OPEN: 2}
    assert {claim.job.inflatable for claim in claims.waiting()} == {
        passing.find(*LOVISE),
        passing.find(*IDA),
    }
    assert set(claims.waiting().values_list("proposal", flat=True)) == {"ours", "new"}


def test_what_was_ours_was_mended_at_nought_and_covered_again():
    mended = Claim.objects.filter(decision=OURS, remedy__stage=Stage.HANDED_BACK)

    assert mended.count() == 3
    for claim in mended:
        under = [read(cover).repair.under_claim for cover in claim.remedy.covers.all()]
        assert claim.number in under
        assert claim.remedy.payments.count() == 0


def test_one_job_at_nought_hangs_on_the_rack():
    job = job_of(*CENEK[:2])

    assert job.stage == Stage.GO_AHEAD
    assert job.quotes.get(state="accepted").warranty


def test_gear_was_retired_passed_on_and_is_about_to_pass():
    passed = Transfer.objects.get(done_at__isnull=False)
    offered = Transfer.objects.get(done_at=None)

    assert passed.inflatable == passing.find(*ANNELIESE)
    assert passed.passed
    assert (transfers.state(offered), offered.taker_agreed_at) == ("open", None)
    assert standing.standing(passing.find(*SCHOOL_GREEN)) == []
    assert set(Ending.objects.values_list("reason", flat=True)) == {"retired", "void", "replaced"}


def test_nothing_that_is_no_longer_used_comes_in_again():
    given_up = Ending.objects.filter(reason="retired")

    assert given_up.exists()
    assert not Job.objects.filter(inflatable__in=given_up.values("cover__inflatable"), is_open=True).exists()


def test_whatever_was_fetched_has_its_covers():
    bare = HandBack.objects.filter(covers=None, taken_back_at=None)

    assert bare.count() < 15


def test_tubes_burst_most_often_where_they_work_hardest():
    *others, hardest = bursts.by_load(Asked(), cases())

    assert sum(row.bursts for row in (*others, hardest)) >= 8
    assert hardest.bursts / hardest.damages > max(row.bursts / row.damages for row in others)

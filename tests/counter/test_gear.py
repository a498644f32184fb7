"""A piece of gear over all its visits, and one of its covers opened."""

import datetime
from decimal import Decimal

import pytest
from django.urls import reverse

from shoprepair.cover import endings, links
from shoprepair.cover.models import Claim, Cover, Ending
from shoprepair.cover.reading import Repair
from shoprepair.jobs import links as status_links
from shoprepair.jobs import search
from shoprepair.jobs.models import Job, Ownership
from tests.counter.checking_in import HTMX
from tests.cover.covering import lightly_covered
from tests.factories import CustomerFactory, DamageFactory, InflatableFactory, JobFactory, OwnershipFactory
from tests.papers.covering import cover, visit

pytestmark = pytest.mark.django_db

DAY = datetime.datetime(2026, 5, 20, 10, tzinfo=datetime.UTC)


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


@pytest.fixture
def wing():
    """Ida Quist's wing, with two covered repairs."""
    wing = InflatableFactory(pattern__name="Holm 5.0 wing", serial="HM-20418")
    ida = CustomerFactory(name="Ida Quist", phone="+1 555 0142 318")
    OwnershipFactory(customer=ida, inflatable=wing)
    search.index(ida)
    back = visit(wing, DAY, customer=ida)
    cover(back)
    cover(back, -0.6, 0.15)
    links.make(wing)
    return wing


@pytest.fixture
def claim(wing, counter) -> Claim:
    """A later cut held against the first cover, still to be decided."""
    later = DamageFactory(job__inflatable=wing, job__customer=wing.ownerships.get().customer)
    held = {"cover": wing.covers.first(), "damage": later, "job": later.job, "proposal": "ours"}
    return Claim.objects.create(number=7, made_by=counter, made_at=DAY, **held)


def page(client, wing) -> str:
    answer = client.get(reverse("gear", args=[wing.pk]))
    assert answer.status_code == 200
    return answer.content.decode()


def check_in(client, wing, key="k1"):
    return client.post(reverse("gear-check-in", args=[wing.pk]), {"key": key})


@pytest.mark.parametrize("role", ["counter", "bench", "owner"])
def test_everybody_in_the_shop_sees_whose_it_is_and_what_is_covered(role, request, as_person, wing):
    said = page(as_person(request.getfixturevalue(role)), wing)
    for words in (
        "Holm 5.0 wing",
        "HM-20418",
        "Ida Quist",
        "2 repairs are covered.",
        "404 mm right of centre",
    ):
        assert words in said
    assert 'class="footprints"' in said
    assert all(f'href="#cover-{tag}"' in said and f'id="cover-{tag}"' in said for tag in (1, 2))
    assert all(one.get_absolute_url() in said for one in wing.jobs.all())


def test_a_stranger_is_led_to_the_log_in(stranger, wing):
    for name, args in (
        ("gear", [wing.pk]),
        ("gear-retire", [wing.pk]),
        ("cover-pdf", [wing.pk]),
        ("cover-one", [1]),
    ):
        assert stranger.get(reverse(name, args=args)).url.startswith(reverse("login"))
    assert check_in(stranger, wing).url.startswith(reverse("login"))


def test_gear_that_was_never_here_says_how_a_cover_begins(client):
    bare = OwnershipFactory().inflatable
    said = page(client, bare)
    assert "A cover begins when a repair with terms is handed back." in said
    assert "Cover record" not in said


def test_check_in_begins_one_visit_of_its_owner_however_often_it_is_tapped(client, wing):
    first, second = check_in(client, wing), check_in(client, wing)
    begun = Job.objects.get(inflatable=wing, is_open=True)
    assert first.url == second.url == reverse("job-check-in", args=[begun.number])
    assert begun.customer.name == "Ida Quist"


def test_gear_that_is_here_leads_to_its_job_instead(client, claim):
    said = page(client, claim.cover.inflatable)
    assert f"Go on with job {claim.job}" in said
    assert reverse("gear-check-in", args=[claim.cover.inflatable_id]) not in said
    Job.objects.filter(pk=claim.job_id).update(stage="bench")
    assert f"Open job {claim.job}" in page(client, claim.cover.inflatable)


def test_gear_that_nobody_owns_is_not_checked_in(client, wing):
    Ownership.objects.update(until=DAY)
    answer = check_in(client, wing)
    assert answer.status_code == 422
    assert "does not know whose this is" in answer.content.decode()
    assert not Job.objects.filter(is_open=True).exists()


def test_claims_and_covers_that_ended_stand_on_it(client, claim, owner):
    wing = claim.cover.inflatable
    endings.end(wing.covers.last(), "replaced", who=owner)
    said = page(client, wing)
    assert "1 repair is covered, 1 no longer is." in said
    assert "a later repair took its place" in said
    assert "Claim 0007" in said
    assert "To be decided" in said


def test_the_record_is_printed_and_before_any_cover_it_says_why_not(client, wing):
    assert client.get(reverse("cover-pdf", args=[wing.pk])).content.startswith(b"%PDF")
    answer = client.get(reverse("cover-pdf", args=[InflatableFactory().pk]))
    assert answer.status_code == 409
    assert "begins with the first repair that is handed back" in answer.content.decode()


def test_gear_whose_job_is_open_says_so_and_where_nothing_ends_nothing_is_offered(as_person, owner):
    job = JobFactory()
    shown = as_person(owner).get(reverse("gear-retire", args=[job.inflatable.pk])).content.decode()
    assert "on it is still open" in shown
    assert job.get_absolute_url() in shown
    assert "No cover stands on it" in shown
    assert "What became of it" not in shown
    assert "To the gear" in shown


def test_gear_was_last_here_on_the_day_it_left(client, wing):
    wing.jobs.update(
        is_open=False, received_at="2031-05-04 12:00Z", closed_at="2031-05-09 12:00Z", stage="handed-back"
    )
    assert "Last here 9 May 2031" in page(client, wing)


def test_retiring_asks_what_became_of_it_and_ends_every_cover_for_good(client, as_person, owner, wing):
    path = reverse("gear-retire", args=[wing.pk])
    assert path not in page(client, wing)
    assert client.post(path, {"note": "Cut up for cloth."}).status_code == 403
    client = as_person(owner)
    assert path in page(client, wing)
    assert "covers end with it" in client.get(path).content.decode()
    refused = client.post(path, {"note": " "})
    assert refused.status_code == 422
    assert "Say what became of the gear" in refused.content.decode()
    assert not Ending.objects.exists()
    client.post(path, {"note": "Cut up for cloth."})
    assert Ending.objects.filter(reason="retired").count() == 2
    assert "Cut up for cloth." in page(client, wing)
    assert client.post(path, {"note": "Again."}).status_code == 422


def test_a_lost_paper_is_replaced_and_opens_nothing_any_more(client, stranger, wing):
    printed, path = links.path(links.current(wing)), reverse("cover-link", args=[wing.pk])
    client.post(path, {"renew": "1"})
    assert stranger.get(printed).status_code == 404
    assert stranger.get(links.path(links.current(wing))).status_code == 200
    client.post(path, {"withdraw": "1"})
    assert links.current(wing) is None
    assert "Its address is closed" in page(client, wing)


def test_it_asks_the_database_as_often_for_many_covers_as_for_two(client, claim, django_assert_num_queries):
    wing = claim.cover.inflatable
    page(client, wing)
    for more in (0, 4):
        for n in range(more):
            cover(visit(wing, DAY), 0.1 * n, 0.05)
        # Session with person and shop; gear, covers, visits, claims, what passed, owner, transfers, journal,
        # link.
        with django_assert_num_queries(10):
            page(client, wing)


class TestOneCover:
    def opened(self, client, number=1):
        return client.get(reverse("cover-one", args=[number])).content.decode()

    def test_it_shows_all_of_its_record(self, client, claim):
        said = self.opened(client)
        one = Cover.objects.get(number=1)
        for words in (
            *("00001", "Sew a patch on a casing", "60 mm cut along", "0.80", "9.00 kN/m", "Repair first"),
            *("Bo Larsgard", "checked by", "L-2207", "Held 0.55 bar for 2 hours.", "$100.00"),
            *(
                one.digest,
                "Stands for the life of the gear",
                "Claim 0007",
                "It is as it was written",
                "rolled out",
            ),
        ):
            assert words in said, words

    def test_one_that_ended_says_what_it_covered(self, client, claim, owner):
        assert "What it covers" in self.opened(client).replace("What it covers, on the drawing", "")
        endings.end(Cover.objects.get(number=1), "replaced", who=owner)
        assert "What it covered" in self.opened(client)

    def test_its_tag_is_told_as_its_number_on_the_record(self, client, wing):
        assert "Tag 2: so this repair is numbered on the gear’s cover record." in self.opened(client, 2)

    def test_what_it_cost_is_not_said_again_where_it_is_what_it_was_sold_for(
        self, as_person, owner, wing, monkeypatch
    ):
        monkeypatch.setattr(Repair, "cost_amount", property(lambda repair: Decimal(repair.amount)))
        said = self.opened(as_person(owner))
        assert "Sold for" in said
        assert "Cost us" not in said

    def test_what_it_cost_is_the_owner_s_to_see(self, client, as_person, owner, wing):
        assert "$60.00" not in self.opened(client).split("The whole record")[0]
        assert "$60.00" in self.opened(as_person(owner))

    def test_its_whole_digest_is_folded_under_how_it_begins(self, client, wing):
        said = self.opened(client).split("The whole record")[0]
        open_at_once, folded = said.split("The whole digest, to compare")
        digest = Cover.objects.get(number=1).digest
        assert digest not in open_at_once
        assert digest in folded

    def test_a_record_that_was_changed_says_so(self, client, wing):
        bad = cover(visit(wing, DAY), damages=None)
        assert "changed outside the program" in self.opened(client, bad.number)
        odd = Cover.objects.create(
            **{field: getattr(bad, field) for field in ("inflatable", "job", "hand_back", "given_at")},
            number=4,
            operation_name="x",
            contents=wing.covers.first().contents,
            previous="0",
            digest="f" * 64,
        )
        assert "Run “check_covers”" in self.opened(client, odd.number)

    def test_the_owner_alone_ends_it_and_says_why(self, client, as_person, owner, wing):
        path = reverse("cover-end", args=[1])
        assert client.post(path, {"note": "No."}).status_code == 403
        asked = as_person(owner).post(path, {"note": ""})
        assert asked.status_code == 422
        assert "Say why this cover ends" in asked.content.decode()
        as_person(owner).post(path, {"note": "Ridden with 3 bar."})
        assert "Ridden with 3 bar." in self.opened(client)

    def test_one_that_never_was_is_not_found(self, client):
        assert client.get(reverse("cover-one", args=[999])).status_code == 404


class TestFinding:
    def find(self, client, text, page="search", **more):
        return client.get(reverse(page), {"q": text}, **more)

    @pytest.mark.parametrize("where", ["search", "check-in"])
    def test_a_scanned_code_leads_straight_to_the_gear(self, client, wing, where):
        there, link = reverse("gear", args=[wing.pk]), links.current(wing)
        for text in (
            links.url(link, "https://loft.example/"),
            f"{links.path(link)}cover.pdf",
            links.token(link),
        ):
            assert self.find(client, text, where).url == there
            assert self.find(client, text, where, **HTMX)["HX-Redirect"] == there

    def test_the_other_codes_of_the_shop_lead_to_what_they_stand_for(self, client, wing, counter):
        job = wing.jobs.get()
        status = status_links.url(status_links.make(job, who=counter), "https://loft.example")
        for text in (f"https://loft.example{job.get_absolute_url()}", status):
            assert self.find(client, text).url == job.get_absolute_url()
        assert self.find(client, "https://loft.example/covers/1/").url == reverse("cover-one", args=[1])

    def test_a_code_that_opens_nothing_says_so(self, client, wing, counter):
        address = links.url(links.current(wing), "https://loft.example")
        links.withdraw(wing, who=counter)
        for text in (address, "https://loft.example/c/" + "A" * 43 + "/", "/s/short/"):
            said = self.find(client, text).content.decode()
            assert "This code opens nothing" in said

    @pytest.mark.parametrize("text", ["hm-20418", "quist", "20418"])
    def test_serial_and_name_lead_to_the_gear_s_page(self, client, wing, text):
        assert reverse("gear", args=[wing.pk]) in self.find(client, text).content.decode()

    def test_gear_that_nobody_owns_is_found_by_its_serial(self, client):
        loose = InflatableFactory(serial="LOOSE-1")
        assert reverse("gear", args=[loose.pk]) in self.find(client, " loose-1 ").content.decode()


def test_hand_back_and_job_sheet_lead_to_the_record(client, counter):
    given = lightly_covered(who=counter)
    job, record = given.job, reverse("cover-pdf", args=[given.inflatable_id])
    assert record in client.get(reverse("hand-back", args=[job.number])).content.decode()
    sheet = client.get(job.get_absolute_url()).content.decode()
    assert record in sheet
    assert reverse("gear", args=[given.inflatable_id]) in sheet

"""A paper that was asked for before is not put together again, and is never the one of before a change."""

from dataclasses import dataclass, field

import pytest

from shoprepair.gear import describe
from shoprepair.gear.models import Cloth, Inflatable, Pattern, Tube
from shoprepair.jobs import damages, photos
from shoprepair.jobs.models import Customer, Damage, Job, Photo
from shoprepair.papers import asked_again, bag_tag, work_order
from shoprepair.shop.models import LoadFigures, Shop
from shoprepair.shop.settings import load_figures
from tests.papers.conftest import BASE_URL, CUT, TEAR
from tests.papers.reading import text
from tests.papers.test_work_order_photos import photo


@pytest.fixture(autouse=True)
def _own_folder(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path / "files"
    asked_again.forget()
    yield
    asked_again.forget()
    describe.forget()


@dataclass
class Desk:
    """Somebody who asks for the work order of one job, and how often it had to be put together."""

    number: int
    put_together: int = field(default=0)

    def asks(self, paper="A4", printer=work_order) -> bytes:
        def put_together():
            self.put_together += 1
            return self.anew(paper, printer)

        return asked_again.paper((printer.__name__, self.number, paper), put_together)

    def anew(self, paper="A4", printer=work_order) -> bytes:
        return printer.render(self._job(), paper=paper, base_url=BASE_URL)

    def _job(self):
        return Job.objects.select_related("customer", "inflatable__pattern").get(number=self.number)


@pytest.fixture
def desk(make_job, bench):
    job = make_job(CUT, TEAR, number=412)
    photo(job, bench, caption="the cut from outside")
    load_figures()
    return Desk(412)


def test_what_has_not_changed_is_put_together_once(desk):
    assert desk.asks() == desk.asks() == desk.asks() == desk.anew()
    assert desk.put_together == 1


def test_each_paper_of_a_job_is_its_own(desk):
    papers = [desk.asks("A4"), desk.asks("Letter"), desk.asks("62", bag_tag)]

    assert [desk.asks("A4"), desk.asks("Letter"), desk.asks("62", bag_tag)] == papers
    assert len(set(papers)) == desk.put_together == 3


CHANGES = {
    "the shop's telephone": lambda: Shop.objects.update(phone="555 0199"),
    "the shop's units": lambda: Shop.objects.update(length_unit="in"),
    "the test pressure": lambda: Shop.objects.update(test_pressure_factor="1.20"),
    "the load figures": lambda: LoadFigures.objects.update(held_wind_m_per_s=40, held_lift_cap_n=20_000),
    "the customer's name": lambda: Customer.objects.update(name="Ilka Holm"),
    "the promised day": lambda: Job.objects.update(promised_on="2026-12-24"),
    "what came with it": lambda: Job.objects.update(came_with=["pump"]),
    "the serial": lambda: Inflatable.objects.update(serial="HM-2"),
    "the name of the pattern": lambda: Pattern.objects.update(name="Holm 5.5 wing"),
    "the name of a cloth": lambda: Cloth.objects.filter(pk=Pattern.objects.get().casing_id).update(
        name="linen"
    ),
    "a note on a damage": lambda: Damage.objects.filter(number=1).update(note="seen at the beach"),
    "a damage taken back": lambda: Damage.objects.filter(number=2).update(removed_at="2026-11-26T10:00Z"),
    "where a damage lies": lambda: Damage.objects.filter(number=1).update(x_m=-0.4),
    "the caption of a photo": lambda: Photo.objects.update(caption="the cut from inside"),
    "a photo taken back": lambda: Photo.objects.update(removed_at="2026-11-26T10:00Z"),
    "a tube of the pattern": lambda: (
        Tube.objects.update(diameter_tip_m=0.1),
        Pattern.objects.update(version=9),
    ),
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_after_any_change_the_paper_is_the_one_of_now(desk, change):
    before = desk.asks()
    change()

    now = desk.asks()
    assert now == desk.anew()
    assert now != before
    assert desk.put_together == 2
    assert desk.asks() == now
    assert desk.put_together == 2


def test_what_is_added_to_a_job_is_on_its_paper_at_once(desk, bench):
    desk.asks()
    damages.pin(Job.objects.get(number=412), 0.9, 0.25, who=bench)

    assert "3" in text(desk.asks())
    assert desk.asks() == desk.anew()


def test_what_changed_back_is_found_where_it_was_kept(desk):
    before = desk.asks()
    Shop.objects.update(phone="555 0199")
    desk.asks()
    Shop.objects.update(phone="555 0100")

    assert desk.asks() == before


def test_what_changes_while_a_paper_is_put_together_is_on_the_next_one(desk):
    def put_together():
        content = desk.anew()
        Customer.objects.update(name="Ilka Holm")
        return content

    asked_again.paper("order", put_together)

    assert "Ilka" in text(asked_again.paper("order", desk.anew))


def test_a_photo_that_could_not_be_had_is_on_the_paper_once_it_is_back(desk):
    small = photos.file(Photo.objects.get(), "small")
    content = small.read_bytes()
    small.unlink()
    assert "the cut from outside" not in text(desk.asks())

    small.write(content)

    assert "the cut from outside" in text(desk.asks())


def test_a_paper_that_is_kept_no_more_is_made_again(desk, settings, tmp_path):
    before = desk.asks()
    settings.MEDIA_ROOT = tmp_path / "other"

    assert "Ida" in text(desk.asks())
    assert desk.put_together == 2
    assert before


def test_a_process_remembers_no_more_than_so_many(desk, monkeypatch):
    monkeypatch.setattr(asked_again, "MOST", 1)
    desk.asks("A4"), desk.asks("Letter"), desk.asks("A4")

    assert desk.put_together == 3


def test_of_what_stands_on_a_paper_a_process_remembers_no_word(desk):
    desk.asks()

    assert "Quist" not in repr(asked_again._known)

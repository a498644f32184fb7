"""Taking a step's materials from their lots at the bench."""

import html
import re
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shoprepair.pricing.models import Material
from shoprepair.shop.models import Staff
from shoprepair.work import stock
from shoprepair.work.models import Lot, Step, Use
from tests.factories import JobFactory
from tests.work.stocking import a_lot, a_material, a_repair, a_step

pytestmark = pytest.mark.django_db


@pytest.fixture
def tomek(bench: Staff, as_person: Callable[[Staff], Client]) -> Client:
    return as_person(bench)


@pytest.fixture
def cloth(db: None) -> Material:
    return a_material()


@pytest.fixture
def step(cloth: Material) -> Step:
    return a_step(a_repair(cloth=(cloth, "0.35")))


def words(answer: Any) -> str:
    text = re.sub(r"<(script|style|title)\b.*?</\1>|<[^>]+>", " ", answer.content.decode(), flags=re.DOTALL)
    return " ".join(html.unescape(text).split())


def page(client: Client, step: Step) -> str:
    return words(client.get(reverse("step-materials", args=[step.job.number, step.pk])))


def take(client: Client, step: Step, lot: Lot, quantity: str, form: str = "", **more: str) -> Any:
    """The form of the step's material, or of any with `form`, as the browser sends it."""
    form = form or f"m{lot.material_id}"
    extra = {f"{form}-{name}": text for name, text in more.items() if name != "key"}
    return client.post(
        reverse("step-material", args=[step.job.number, step.pk]),
        {"form": form, f"{form}-lot": str(lot.pk), f"{form}-quantity": quantity, "key": more.get("key", "")}
        | extra,
        headers={"HX-Request": "true"},
    )


def put_back(client: Client, step: Step, use: object) -> Any:
    address = reverse("step-material-back", args=[step.job.number, step.pk])
    return client.post(address, {"use": str(use)}, headers={"HX-Request": "true"})


def test_a_step_offers_what_it_takes_from_the_lot_that_expires_first(tomek: Client, step: Step) -> None:
    cloth = step.repair.operation.materials.get().material
    a_lot(cloth, "keeps")
    a_lot(cloth, "soon", expires_in=9)
    said = page(tomek, step)
    assert "Casing cloth takes 0.35 m²" in said
    assert "Take 0.35 m² lot soon" in said


def test_one_tap_takes_it(tomek: Client, step: Step, cloth: Material, bench: Staff) -> None:
    lot = a_lot(cloth)
    answer = take(tomek, step, lot, "0.35 m²")
    assert answer.status_code == 200
    use = Use.objects.get()
    assert (use.lot, use.quantity, use.step, use.repair, use.who) == (
        lot,
        Decimal("0.350"),
        step,
        step.repair,
        bench,
    )
    assert "Taken. Casing cloth all taken" in words(answer)
    assert b"<html" not in answer.content


def test_without_scripts_the_form_leads_back_to_the_materials(
    tomek: Client, step: Step, cloth: Material
) -> None:
    name, lot = f"m{cloth.pk}", a_lot(cloth)
    address = reverse("step-material", args=[step.job.number, step.pk])
    sent = {"form": name, f"{name}-lot": lot.pk, f"{name}-quantity": "0,2"}
    answer = tomek.post(address, sent, follow=True)
    assert "0.2 m² of 0.35 m² taken" in words(answer)
    assert b"<html" in answer.content


def test_a_double_tap_takes_it_once(tomek: Client, step: Step, cloth: Material) -> None:
    lot = a_lot(cloth)
    for _ in range(2):
        assert take(tomek, step, lot, "0.35", key="tap").status_code == 200
    assert Use.objects.count() == 1


def test_more_than_there_is_is_refused_with_what_is_left(tomek: Client, step: Step, cloth: Material) -> None:
    answer = take(tomek, step, a_lot(cloth, quantity="0.3"), "0,35")
    assert answer.status_code == 422
    assert "Lot A1 has 0.3 m² left, not 0.35 m²." in words(answer)
    assert b'value="0,35"' in answer.content
    assert not Use.objects.exists()


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "Write how much is taken."),
        ("-1", "cannot be below nought"),
        ("0", "more than nought"),
        ("1e400", "cannot be read"),
        ("9" * 59, "cannot be read"),
        ("9" * 99, "At most 60"),
        ("<b>1</b>", "cannot be read"),
        ("2 m", "counted in square metres"),
    ],
)
def test_a_quantity_that_is_none_is_answered_with_a_sentence(
    tomek: Client, step: Step, cloth: Material, typed: str, said: str
) -> None:
    answer = take(tomek, step, a_lot(cloth), typed)
    assert answer.status_code == 422
    assert said in words(answer)
    assert b"<b>1</b>" not in answer.content
    assert not Use.objects.exists()


def test_an_expired_lot_is_the_owners_to_use_with_a_reason(
    tomek: Client, owner: Staff, as_person: Callable[[Staff], Client], step: Step, cloth: Material
) -> None:
    old, runa = a_lot(cloth, "old", expires_in=-3), as_person(owner)
    assert "None to take: what is left has expired." in page(tomek, step)
    refused = words(take(tomek, step, old, "0.1"))
    assert "Lot old expired on" in refused
    assert "or ask the owner" in refused
    assert "Say why it may still be used." in words(take(runa, step, old, "0.1"))
    assert take(runa, step, old, "0.1", reason="Peel test held.").status_code == 200
    assert Use.objects.get().reason == "Peel test held."


def test_what_was_taken_is_put_back_with_one_tap(tomek: Client, step: Step, cloth: Material) -> None:
    lot = a_lot(cloth)
    take(tomek, step, lot, "0.35")
    answer = put_back(tomek, step, Use.objects.get().pk)
    assert "Put back." in words(answer)
    assert "Take 0.35 m²" in words(answer)
    lot.refresh_from_db()
    assert lot.left == 2


@pytest.mark.parametrize("use", ["", "x", "99", "9" * 40, "-1", "²"])
def test_putting_back_what_was_not_taken_is_refused(tomek: Client, step: Step, use: str) -> None:
    answer = put_back(tomek, step, use)
    assert answer.status_code == 422
    assert "That is not among what was taken for this job." in words(answer)


def test_what_another_job_took_cannot_be_put_back_from_here(
    tomek: Client, step: Step, cloth: Material, bench: Staff
) -> None:
    foreign = stock.use(a_lot(cloth), Decimal(1), job=JobFactory(), who=bench)
    assert put_back(tomek, step, foreign.pk).status_code == 422


def test_something_else_may_be_taken_at_any_step(tomek: Client) -> None:
    step = a_step(None, JobFactory())
    thread = a_lot(a_material("Thread", "m"), "Cone 4", "500")
    assert "This step takes no material by the catalogue." in page(tomek, step)
    answer = take(tomek, step, thread, "12 m", form="any")
    assert "12 m Thread lot Cone 4" in words(answer)


def test_an_empty_shelf_says_so_at_the_step(tomek: Client, step: Step) -> None:
    assert "None to take. Look at its lots" in page(tomek, step)


def test_a_lot_used_up_meanwhile_is_no_choice_any_more(tomek: Client, step: Step, cloth: Material) -> None:
    lot = a_lot(cloth)
    Lot.objects.update(left=0)
    answer = take(tomek, step, lot, "0.1")
    assert answer.status_code in (404, 422)
    assert not Use.objects.exists()


def test_the_form_of_no_material_of_this_step_is_not_found(tomek: Client, step: Step) -> None:
    other = a_lot(a_material("TPU film"))
    assert take(tomek, step, other, "0.1").status_code == 404


def test_a_step_of_another_job_is_not_found(tomek: Client, step: Step) -> None:
    assert tomek.get(reverse("step-materials", args=[step.job.number + 1, step.pk])).status_code == 404
    assert tomek.get(reverse("step-materials", args=[10**30, 10**30])).status_code == 404


def test_a_step_costs_no_more_with_many_lots_and_uses(
    tomek: Client, bench: Staff, step: Step, cloth: Material, django_assert_max_num_queries
) -> None:
    for place in range(8):
        lot = a_lot(cloth, f"L{place}", expires_in=place + 1)
        stock.use(lot, Decimal("0.01"), job=step.job, step=step, who=bench)
    with django_assert_max_num_queries(15):
        tomek.get(reverse("step-materials", args=[step.job.number, step.pk]))

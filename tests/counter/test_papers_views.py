import re
import subprocess

import pytest
from django.urls import reverse

from shoprepair.shop import settings
from tests.factories import DamageFactory, JobFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(as_person, bench):
    return as_person(bench)


@pytest.fixture
def job(db):
    made = JobFactory(number=412)
    DamageFactory(job=made, number=1)
    return made


@pytest.mark.parametrize("paper", ["work-order", "bag-tag"])
def test_a_paper_is_a_pdf_that_opens_beside_the_sheet_under_the_jobs_number(client, job, paper):
    answer = client.get(reverse(paper, args=[412]))

    assert answer.content.startswith(b"%PDF-")
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.headers["Content-Disposition"] == f'inline; filename="{paper}-0412.pdf"'


@pytest.mark.parametrize("paper", ["work-order", "bag-tag"])
def test_a_paper_names_a_customer_so_no_cache_keeps_it(client, job, paper):
    kept = client.get(reverse(paper, args=[412])).headers["Cache-Control"]

    assert "private" in kept
    assert "no-store" in kept


def width_mm(pdf: bytes) -> int:
    """Width of the first page, as a reader of PDFs sees it."""
    said = subprocess.run(["pdfinfo", "-"], input=pdf, capture_output=True, check=True).stdout.decode()
    points = float(re.search(r"Page size: +([0-9.]+)", said).group(1))
    return round(points / 72 * 25.4)


@pytest.mark.parametrize(
    ("name", "asked", "wide"),
    [
        ("work-order", "", 210),
        ("work-order", "Letter", 216),
        ("work-order", "papyrus", 210),
        ("bag-tag", "", 62),
        ("bag-tag", "100", 100),
        ("bag-tag", "sheet", 210),
        ("bag-tag", "0", 62),
    ],
)
def test_a_paper_comes_on_the_shops_own_size_unless_another_is_asked_for(client, job, name, asked, wide):
    pdf = client.get(reverse(name, args=[412]), {"paper": asked}).content

    assert width_mm(pdf) == wide


def test_the_shops_own_size_is_the_one_it_chose(client, job):
    shop = settings.current()
    shop.paper, shop.tag_paper = "Letter", "100"
    shop.save()

    assert width_mm(client.get(reverse("work-order", args=[412])).content) == 216
    assert width_mm(client.get(reverse("bag-tag", args=[412])).content) == 100


@pytest.mark.parametrize("paper", ["work-order", "bag-tag"])
def test_there_is_no_paper_of_a_job_that_does_not_exist(client, paper):
    assert client.get(reverse(paper, args=[999])).status_code == 404


@pytest.mark.parametrize("paper", ["work-order", "bag-tag"])
def test_a_paper_is_read_and_nothing_else(client, job, paper):
    assert client.post(reverse(paper, args=[412])).status_code == 405

"""No line of what a person reads ends between a figure and its unit."""

import re

import pytest
from django.http import HttpResponse, JsonResponse
from django.test import RequestFactory
from django.urls import reverse

from shoprepair.gear import library
from shoprepair.shop.unbroken import UnbrokenMiddleware, unbroken, unbroken_page


@pytest.mark.parametrize(
    ("said", "read"),
    [
        ("a cut of 35 mm", "a cut of 35~mm"),
        ("1 3/8 in long", "1~3/8~in long"),
        ("6.00 kN/m at 0.50 bar, 21 °C", "6.00~kN/m at 0.50~bar, 21~°C"),
        ("12 min, 4.4 m², 170 g/m², 80 %", "12~min, 4.4~m², 170~g/m², 80~%"),
        ("12,50 €", "12,50~€"),
        ("50 h 46 min over", "50~h~46~min over"),
        ("75 mm × 60 mm, 3 × 4", "75~mm~×~60~mm, 3~×~4"),
        ("lost 1 bar, ± 0,011 bar", "lost 1~bar, ±~0,011~bar"),
        ("2 × overlap", "2 × overlap"),
        ("3 makers, 2 hours, job 12", "3 makers, 2 hours, job 12"),
        ("until 8 Dec 2026", "until 8~Dec 2026"),
        ("bis 8. Dezember 2026", "bis 8.~Dezember 2026"),
        ("hasta el 8 de diciembre", "hasta el 8~de~diciembre"),
        ("in 3 maybe, 4 marzipan", "in 3 maybe, 4 marzipan"),
    ],
)
def test_figures_keep_what_belongs_to_them_beside_them_and_words_part_as_ever(said, read):
    assert unbroken(said) == read.replace("~", "\N{NO-BREAK SPACE}")


@pytest.mark.parametrize(
    "kept",
    [
        '<input value="35 mm">',
        "<textarea>35 mm</textarea>",
        '<script type="application/json">{"said": "35 mm"}</script>',
        "<title>35 mm</title>",
    ],
)
def test_what_is_typed_over_or_read_by_programs_stays_as_it_is(kept):
    assert unbroken_page(f"<p>1 m</p>{kept}<p>2 m</p>") == f"<p>1\xa0m</p>{kept}<p>2\xa0m</p>"


def test_only_pages_are_written_so_and_no_data():
    def answered(response):
        return UnbrokenMiddleware(lambda _request: response)(RequestFactory().get("/")).content.decode()

    assert answered(HttpResponse("<b>35 mm</b>")) == "<b>35\xa0mm</b>"
    assert answered(JsonResponse({"said": "35 mm"})) == '{"said": "35 mm"}'
    assert answered(HttpResponse("35 mm", content_type="text/csv")) == "35 mm"


def test_what_is_packed_already_is_left_packed():
    packed = HttpResponse(b"\x1f\x8b 35 mm", headers={"Content-Encoding": "gzip"})
    answer = UnbrokenMiddleware(lambda _request: packed)(RequestFactory().get("/"))
    assert answer.content == b"\x1f\x8b 35 mm"


def test_a_page_goes_over_the_line_with_its_figures_whole(as_person, owner):
    library.load()
    client = as_person(owner)
    page = client.handler(client._base_environ(PATH_INFO=reverse("patterns"))).content.decode()
    assert re.search(r"span \d\.\d\d\xa0m<", page)

"""The paths of a drawing lie in a file that browsers keep; a page borrows them from there."""

import re
from xml.etree import ElementTree

import brotli
import pytest
from django.test import Client
from django.utils import translation

from shoprepair.gear import describe, kept_drawings
from shoprepair.gear.diagram import Pin, draw
from shoprepair.gear.diagram.regions import regions
from shoprepair.gear.models import Pattern
from shoprepair.shop.models import LoadFigures
from shoprepair.shop.settings import cases
from tests.factories import KiteFactory, PatternFactory

pytestmark = pytest.mark.django_db
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def wing() -> Pattern:
    return PatternFactory(name="Petrel of the regatta")


@pytest.fixture
def address(wing: Pattern) -> str:
    return file_of(*kept_drawings.kept([wing]))


def file_of(begin: str) -> str:
    return begin.partition("#")[0]


def elsewhere() -> None:
    """As another machine of the shop begins, or this one after a restart."""
    describe.forget()
    kept_drawings._file.cache_clear()


def names_in(client: Client, address: str) -> list[str]:
    root = ElementTree.fromstring(client.get(address).content)
    return [shape.attrib["id"] for shape in root.iter() if "id" in shape.attrib]


@pytest.mark.parametrize("make", [PatternFactory, KiteFactory])
def test_all_that_a_page_borrows_is_there_once(make, stranger):
    pattern = make()
    (kept,) = kept_drawings.kept([pattern], cases())
    planform = describe.planform(pattern)
    svgs = (
        draw(planform, kept=kept),
        draw(planform, kept=kept, region_links=lambda region: f"/?{region.id}"),
        draw(planform, kept=kept, detail="paper"),
    )
    there = names_in(stranger, file_of(kept))
    assert len(there) == len(set(there))
    for svg in svgs:
        borrowed = re.findall(r'<use href="([^"]*)#([^"]*)"', svg)
        assert {file for file, _ in borrowed} == {file_of(kept)}
        assert {name for _, name in borrowed} <= set(there)
        assert "<path" not in svg


def test_a_part_under_a_pointer_still_has_its_name_on_the_page(wing, address):
    (kept,) = kept_drawings.kept([wing])
    drawing = ElementTree.fromstring(draw(describe.planform(wing), kept=kept))
    named = {
        use.attrib["href"].partition("#0-")[2]: use.findtext(f"{SVG}title")
        for use in drawing.iter()
        if use.find(f"{SVG}title") is not None and use.tag == f"{SVG}use"
    }
    fittings = ("handle", "bridle", "inflation", "dump", "hose", "boom")
    assert named == {
        region.id: region.label
        for region in regions(describe.planform(wing))
        if not region.id.startswith(fittings)
    }


def test_every_part_is_a_link_that_a_finger_and_a_key_reach(wing):
    (kept,) = kept_drawings.kept([wing])
    planform = describe.planform(wing)
    drawing = ElementTree.fromstring(draw(planform, kept=kept, region_links=lambda region: f"/?{region.id}"))
    links = {link.attrib["data-region"]: link for link in drawing.iter(f"{SVG}a")}
    assert set(links) == {region.id for region in regions(planform)}
    for region in regions(planform):
        link = links[region.id]
        assert link.attrib["aria-label"] == region.label
        assert "part" in link[0].attrib["class"].split()


def test_it_is_kept_for_good_and_is_the_same_for_everybody(as_person, counter, stranger, address):
    answers = [client.get(address) for client in (stranger, as_person(counter))]
    for answer in answers:
        assert answer.status_code == 200
        assert answer["Content-Type"] == "image/svg+xml; charset=utf-8"
        assert answer["Cache-Control"] == "max-age=315360000, public, immutable"
        assert answer["Vary"] == "Accept-Encoding"
        assert not answer.cookies
    assert answers[0].content == answers[1].content


def test_it_goes_compressed(stranger, address):
    small = stranger.get(address, headers={"Accept-Encoding": "br"})
    assert brotli.decompress(small.content) == stranger.get(address).content
    assert len(small.content) < 9_000


def test_it_holds_shapes_and_nothing_of_any_job(stranger, wing, address):
    pin = Pin(7, 0.3, 0.05, label="A cut")
    assert "A cut" in draw(describe.planform(wing), kept=f"{address}#0-", pins=[pin])
    file = stranger.get(address).content.decode()
    assert wing.name not in file
    assert "<title" not in file
    assert "<style" not in file
    assert "href" not in file


def test_another_machine_and_this_one_after_a_restart_answer_the_same(stranger, wing, address):
    before = stranger.get(address).content
    elsewhere()
    assert stranger.get(address).content == before
    assert file_of(*kept_drawings.kept([wing])) == address


def test_a_pattern_that_changed_is_another_address_and_the_older_one_has_nothing_any_more(
    stranger, wing, address
):
    wing.span_m += 0.2
    wing.version += 1
    wing.save()
    assert file_of(*kept_drawings.kept([wing])) != address
    answer = stranger.get(address)
    assert answer.status_code == 404
    assert answer["Cache-Control"] == "private, no-store"


def test_a_pattern_that_is_gone_has_nothing(stranger, wing, address):
    wing.delete()
    assert stranger.get(address).status_code == 404


def test_other_load_figures_are_another_address_where_the_load_is_shown(stranger, wing, address):
    loaded = file_of(*kept_drawings.kept([wing], cases()))
    assert b"var(--load-" in stranger.get(loaded).content
    assert b"var(--load-" not in stranger.get(address).content
    LoadFigures.objects.update(held_share=0.9, held_gust=2.5)
    assert file_of(*kept_drawings.kept([wing], cases())) != loaded
    assert stranger.get(loaded).status_code == 404
    assert stranger.get(address).status_code == 200


def test_two_patterns_of_one_page_come_in_one_file(stranger, wing):
    begins = kept_drawings.kept([wing, KiteFactory()])
    (address,) = {file_of(begin) for begin in begins}
    whole = [name for name in names_in(stranger, address) if name.endswith("-whole")]
    assert whole == [f"{begin.partition('#')[2]}whole" for begin in begins]


def test_whoever_reads_german_finds_german_words(stranger, wing, address):
    with translation.override("de"):
        german = file_of(*kept_drawings.kept([wing]))
    elsewhere()
    assert ">links</text>" in stranger.get(german).content.decode()
    assert ">left</text>" in stranger.get(address).content.decode()


def test_nobody_has_drawn_what_no_page_shows(stranger, wing, address, django_assert_num_queries):
    kite = KiteFactory()
    _, _, asked, signed = address.split("/")
    for guess in (
        f"/drawings/{asked}/{'0' * 32}.svg",
        f"/drawings/en-{kite.pk}/{signed}",
        f"/drawings/{asked}-load/{signed}",
        f"/drawings/{asked}+{kite.pk}/{signed}",
        f"/drawings/de-{wing.pk}/{signed}",
    ):
        with django_assert_num_queries(0):
            assert kept_drawings.at(guess) is None
        assert stranger.get(guess).status_code == 404
    assert stranger.post(address).status_code in (403, 404, 405)

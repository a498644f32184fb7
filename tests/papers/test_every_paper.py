"""What every paper keeps to, whichever it is and on whatever it is printed."""

import datetime
import importlib
import pkgutil
import re
import zlib
from itertools import pairwise

import pytest
import zxingcpp
from PIL import Image, ImageDraw, ImageFilter

import shoprepair.papers
from shoprepair.gear import diagram
from shoprepair.gear.diagram.loads import STEPS
from shoprepair.jobs.advice.told import Told
from shoprepair.jobs.enquiries import making
from shoprepair.jobs.models import Stage
from shoprepair.mechanics.description import Band
from shoprepair.papers import (
    bag_tag,
    cover_record,
    hand_back,
    invoice,
    leaflet,
    marks,
    parcel_slip,
    quote,
    work_order,
)
from shoprepair.papers.render import svg
from shoprepair.pricing import quotes
from shoprepair.work import invoices
from tests import shelves
from tests.factories import InflatableFactory, QuoteFactory, QuoteLineFactory, ready
from tests.papers.conftest import BASE_URL, BURST, CUT, SCUFF, TEAR
from tests.papers.covering import cover, visit
from tests.papers.letters import drawn, inked, likeness
from tests.papers.reading import aloud, facts, fonts, pages, picture, size_mm, words
from tests.papers.test_render import printed
from tests.papers.universal import failures

NAME = "Tūī Čeněk"
KILOBYTES = 300
LEAST_POINTS = 7.0
SIZES = {"A4": (210, 297), "Letter": (216, 279)}
IN_ORDER = {
    "work order": (
        "Work order",
        "Grounded",
        "Damages",
        "Place and finding",
        "Steps",
        "Before",
        "Last",
        "Sign-off",
    ),
    "many damages": ("Work order", "Damages", "Place and finding", "Steps", "Materials", "Sign-off"),
    "bag tag": ("Tūī", "received", "promised", "came with", "bag"),
    "tag of 62 mm": ("Tūī", "received", "promised", "came with", "bag"),
    "tag of 100 mm": ("Tūī", "received", "promised", "came with", "bag"),
    "quote": (
        "Quote",
        "What we found",
        "Sew a patch",
        "$64.20",
        "Choose one",
        "Patch the bladder",
        "$22.00",
        "Total",
    ),
    "invoice": ("Invoice", "What was done", "Casing patch", "$100.00", "Total", "Still to pay", "How to pay"),
    "hand-back": ("Hand-back", "What we did", "How to keep it well", "What to watch", "I have taken it"),
    "cover record": ("Cover record", "What we stand behind", "What was repaired", "Sew a patch"),
    "leaflet": (
        "May I fix it myself?",
        "Never here.",
        "Fix it yourself",
        "The fold test",
        "Taping the cloth",
    ),
    "parcel slip": ("Send it to us", "Write on the parcel", "Cut here", "Enquiry", "Do not inflate", "A cut"),
}
SCANNED = (
    "work order",
    "many damages",
    "bag tag",
    "tag of 62 mm",
    "tag of 100 mm",
    "quote",
    "cover record",
    "leaflet",
    "parcel slip",
)
_made: dict[str, dict[str, bytes]] = {}


@pytest.fixture(params=["A4", "Letter"])
def paper(request):
    return request.param


@pytest.fixture
def papers(paper, make_job, owner):
    """Each paper by its name, made once for all that is asked of it."""
    if paper not in _made:
        _made[paper] = _all(paper, make_job, owner)
    return _made[paper]


def _all(paper, make_job, owner):
    shelves.patterns()
    on = {"paper": paper, "base_url": BASE_URL}
    gear = InflatableFactory(pattern__name="Alk 5.0 wing", serial="HM-20418")

    def whose():
        return {"name": NAME, "inflatable": InflatableFactory(pattern=gear.pattern, serial="")}

    agreed = {"stage": Stage.ASSESSED, "terms_agreed_at": "2026-05-04T09:00:00Z"}
    burst = make_job(CUT, BURST, **whose(), came_with=["bag"], arrived_wet=True)
    many = make_job(*[(x / 10, 0.05 + 0.02 * abs(x), CUT[2]) for x in range(-9, 10)] * 2, **whose())
    offer = QuoteFactory(
        job=make_job(CUT, SCUFF, **whose(), stage=Stage.ASSESSED), terms="We dry it.\nWe sew it."
    )
    QuoteLineFactory(quote=offer, amount="64.20", text="Sew a patch", damages=[1])
    QuoteLineFactory(quote=offer, amount="22.00", text="Patch the bladder", choice="bladder", damages=[1])
    QuoteLineFactory(
        quote=offer, amount="99.00", text="Replace it", choice="bladder", taken=False, damages=[1]
    )
    quotes.send(offer, who=owner, version=offer.version, base_url=BASE_URL)
    offer.refresh_from_db()
    bill = invoices.make(ready(make_job(CUT, TEAR, **whose(), **agreed), owner), who=owner)
    for year in (2024, 2025, 2026):
        back = visit(gear, datetime.datetime(year, 5, 20, 10, tzinfo=datetime.UTC))
        for place in range(3):
            cover(back, x_m=0.3 + 0.1 * place)
    cut = Told(kind="wing", size="medium", at="front-middle", look="cut", length="coin")
    enquiry = making.send([cut], comes="by-post", key="k", name=NAME, contact="tui@post.example")
    return {
        "work order": work_order.render(burst, **on),
        "many damages": work_order.render(many, **on),
        "bag tag": bag_tag.render(burst, **on),
        "tag of 62 mm": bag_tag.render(burst, paper="62", base_url=BASE_URL),
        "tag of 100 mm": bag_tag.render(burst, paper="100", base_url=BASE_URL),
        "quote": quote.render(offer, **on),
        "invoice": invoice.render(bill, **on),
        "hand-back": hand_back.render(bill.job, **on),
        "cover record": cover_record.render(gear, **on),
        "leaflet": leaflet.render(**on, language="en"),
        "parcel slip": parcel_slip.render(enquiry, **on, language="en"),
    }


def _bare(pdf):
    """The file with all that is packed in it unpacked."""
    packed = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", pdf, flags=re.DOTALL)
    unpacked = []
    for stream in packed:
        try:
            unpacked.append(zlib.decompress(stream))
        except zlib.error:
            unpacked.append(stream)
    return pdf + b"\n".join(unpacked)


def test_every_paper_that_is_made_is_asked_here(papers):
    made = {
        module.name.replace("_", " ")
        for module in pkgutil.iter_modules(shoprepair.papers.__path__)
        if hasattr(importlib.import_module(f"shoprepair.papers.{module.name}"), "render")
    }
    assert made <= {name.replace("-", " ") for name in IN_ORDER}, (
        "say in IN_ORDER how it is read, make it in _all"
    )
    assert set(papers) == set(IN_ORDER)


def test_each_is_on_its_paper_tagged_titled_in_a_language_and_light(papers, paper):
    for name, pdf in papers.items():
        inside = _bare(pdf)
        if "mm" not in name:
            assert size_mm(pdf) == SIZES[paper], name
        assert facts(pdf)["Tagged"] == "yes", name
        assert facts(pdf)["Title"], name
        assert re.search(rb"pdfuaid:part(?:>|=\")1", inside), name
        assert re.search(rb"/Lang ?\(en", inside), name
        assert b"/DisplayDocTitle true" in inside, name
        assert b"/StructTreeRoot" in inside, name
        assert len(pdf) < KILOBYTES * 1000, name


def test_each_keeps_to_what_pdf_ua_asks_as_far_as_a_program_can_tell(papers):
    assert {name: said for name, pdf in papers.items() if (said := failures(pdf))} == {}


def test_the_fonts_of_each_lie_in_the_file(papers):
    for name, pdf in papers.items():
        assert all(fonts(pdf).values()), name


def test_each_is_read_aloud_and_copied_out_in_the_order_in_which_it_is_read(papers):
    for name, pdf in papers.items():
        said, at = aloud(pdf), -1
        for part in IN_ORDER[name]:
            found = said.find(part, at + 1)
            assert found > at, (name, part)
            at = found


def test_what_is_longer_than_a_page_counts_its_pages(papers):
    for name, pdf in papers.items():
        sheets = pages(pdf)
        for number, page in enumerate(sheets, 1):
            assert len(sheets) == 1 or page.endswith(f"page {number} of {len(sheets)}"), name
    assert len(pages(papers["many damages"])) > 2


def test_no_page_ends_with_a_heading(papers):
    headings = (
        "Damages",
        "Steps",
        "Materials",
        "Before",
        "Open",
        "Close",
        "Hold test",
        "Last",
        "What was repaired",
    )
    for name, pdf in papers.items():
        for page in pages(pdf):
            body = re.sub(
                r"(?:\S+ )?Alk 5\.0 wing(?: · serial \S+ · as of .*)? page \d+ of \d+$", "", page
            ).strip()
            assert not body.endswith(headings), name


def test_nothing_is_smaller_than_can_be_read(papers):
    for name, pdf in papers.items():
        small = [word for word in words(pdf) if word.points < LEAST_POINTS]
        assert small == [], name


def test_a_name_is_drawn_with_its_own_letters_on_each_that_bears_it(papers):
    for name, pdf in papers.items():
        for word in words(pdf):
            if word.text in NAME.split():
                sheet = picture(pdf, word.page, dpi=300)
                box = [round(side * 300 / 72) for side in word.box]
                shown = sheet.crop((box[0] - 2, box[1], box[2] + 2, box[3]))
                assert max(likeness(shown, drawn(word.text, weight)) for weight in (400, 700)) > 0.9, name
        if name not in ("cover record", "leaflet"):
            assert NAME.split()[0] in {word.text for word in words(pdf)}, name


def _scanned(sheet: Image.Image) -> Image.Image:
    """A page at half its size, stained, blurred, laid on the glass askew, read with 300 dots an inch."""
    half = sheet.resize((sheet.width // 2, sheet.height // 2), Image.Resampling.LANCZOS)
    ImageDraw.Draw(stain := Image.new("L", half.size, 255)).ellipse(
        (half.width * 0.6, 0, half.width, half.height * 0.2), fill=185
    )
    half = Image.composite(
        half, half.point(lambda tone: int(tone * 0.72)), stain.point(lambda t: 255 * (t > 200))
    )
    return half.filter(ImageFilter.GaussianBlur(0.8)).rotate(
        3, Image.Resampling.BICUBIC, fillcolor=255, expand=True
    )


def test_the_code_of_each_is_read_from_a_poor_scan_at_half_size(papers):
    unread = []
    for name in SCANNED:
        codes = zxingcpp.read_barcodes(_scanned(picture(papers[name], dpi=300)))
        if not any(code.text.startswith(BASE_URL) for code in codes):
            unread.append(name)
    assert unread == []


def _darkness(drawing, box=(0, 0, 1, 1)):
    """How much ink a grey printer lays into that part of a picture that is alone on a page."""
    page = picture(printed('<img alt="x" style="width: 150mm" src="paper:x">', {"x": svg(drawing)}))
    sheet = inked(page.crop((0, 0, page.width, page.height // 2)))
    part = sheet.crop(tuple(round(side * (sheet.width, sheet.height)[at % 2]) for at, side in enumerate(box)))
    return 1 - sum(part.tobytes()) / (255 * part.width * part.height)


def test_bands_and_loads_are_told_apart_without_colour():
    bands = [
        _darkness(marks.tape(100, band), (0.2, 0.2, 0.8, 0.8))
        for band in (Band.WATCH, Band.NEXT_SERVICE, Band.REPAIR_FIRST, Band.GROUNDED)
    ]
    steps = [
        _darkness(diagram.load_legend(), ((at + 0.1) / len(STEPS), 0.1, (at + 0.9) / len(STEPS), 0.45))
        for at in range(len(STEPS))
    ]
    for shown in (bands, steps):
        assert all(after - before > 0.03 for before, after in pairwise(shown)), shown

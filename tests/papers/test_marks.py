import re

import pytest
import zxingcpp
from weasyprint import HTML

from shoprepair.mechanics.description import Band
from shoprepair.papers.marks import qr, tape
from tests.papers.reading import picture


def hatch_lines(svg):
    return re.search(r' d="((?:M[^"]*?l[^"]*?)+)" stroke=', svg).group(1).count("M")


def test_the_more_urgent_the_band_the_denser_the_hatch():
    densities = [hatch_lines(tape(100, band)) for band in Band]

    assert densities == sorted(densities, reverse=True)
    assert len(set(densities)) == len(densities)


@pytest.mark.parametrize(("urgency", "filled"), [(0, "0.0"), (50, "60.0"), (100, "120.0"), (130, "120.0")])
def test_a_tape_is_filled_as_far_as_it_is_urgent(urgency, filled):
    assert f'<clipPath id="filled"><rect width="{filled}"' in tape(urgency, Band.GROUNDED)


@pytest.mark.parametrize(("urgency", "ends"), [(0, False), (1, False), (50, True), (99, False), (100, False)])
def test_no_line_pokes_out_of_the_round_corners_of_an_empty_or_a_full_one(urgency, ends):
    assert ('0V12"' in tape(urgency, Band.GROUNDED)) is ends


def test_a_thermal_printer_gets_black_and_nothing_else():
    colours = re.findall(r'(?:stroke|fill)="(?!none)([^"]+)"', tape(97, Band.GROUNDED, black=True))

    assert set(colours) == {"#000"}


def test_a_code_is_read_back_as_it_was_written():
    address = "https://shop.example/jobs/412/"
    pdf = HTML(string=f"<body>{qr(address)}").write_pdf()

    assert [code.text for code in zxingcpp.read_barcodes(picture(pdf))] == [address]

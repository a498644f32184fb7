import socket

import pytest

from shoprepair.papers.printing.order import Order, Picture
from shoprepair.papers.printing.pages import OnlyGiven, Refused, made
from shoprepair.papers.render import svg
from tests.papers.reading import aloud, facts, fonts, lines, size_mm, text

DOT = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1"><rect width="1" height="1"/></svg>'

MARKUP = [
    '<img alt="" src="{address}">',
    '<object data="{address}"></object>',
    '<embed src="{address}">',
    '<link rel="stylesheet" href="{address}">',
    '<link rel="attachment" href="{address}">',
    '<a rel="attachment" href="{address}">x</a>',
    '<base href="{address}"><img alt="" src="secret">',
    '<div background="{address}">x</div>',
    '<svg xmlns="http://www.w3.org/2000/svg"><image href="{address}"/><use href="{address}#a"/></svg>',
]


def printed(body, pictures=None, *, head="", foot_mm=None):
    """A page with that body, in the manner of a work order."""
    html = f'<html lang="en"><head><title>A page</title>{head}</head><body class="A4">{body}</body></html>'
    return made(Order(html, ("sheet", "work_order"), pictures or {}, foot_mm=foot_mm))


@pytest.fixture
def listener():
    """A port on this machine at which nobody may knock."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        server.settimeout(0.05)
        yield server.getsockname()[1]
        with pytest.raises(TimeoutError):
            server.accept()


@pytest.mark.parametrize(
    "address",
    [
        "file:///etc/hostname",
        "http://127.0.0.1/",
        "https://shop.example/logo.png",
        "ftp://127.0.0.1/",
        "data:text/plain,x",
        "paper:",
        "paper:another",
        "PAPER:dot",
        "paper:../dot",
        "dot",
        "//127.0.0.1/dot",
        "",
    ],
)
def test_nothing_is_fetched_but_what_was_handed_in(address):
    with pytest.raises(Refused):
        OnlyGiven({"dot": svg(DOT)}).fetch(address)


def test_what_was_handed_in_is_found_by_its_name():
    given = OnlyGiven({"dot": svg(DOT), "raw": Picture(b"x", "font/woff2")})

    assert given.fetch("paper:dot").read() == DOT.encode()
    assert given.fetch("paper:raw").content_type == "font/woff2"


@pytest.mark.parametrize("markup", MARKUP)
def test_no_markup_reaches_a_file(tmp_path, markup):
    secret = tmp_path / "secret"
    secret.write_text("the key of the shop")

    pdf = printed(markup.format(address=secret.as_uri()))

    assert "the key of the shop" not in text(pdf)
    assert b"EmbeddedFile" not in pdf


@pytest.mark.parametrize("markup", MARKUP)
def test_no_markup_reaches_a_host(listener, markup):
    printed(markup.format(address=f"http://127.0.0.1:{listener}/secret"))


def test_no_drawing_reaches_a_file_either(tmp_path):
    secret = tmp_path / "secret.svg"
    secret.write_text(DOT.replace("<rect", "<text>the key</text><rect"))
    drawing = DOT.replace("<rect", f'<image href="{secret.as_uri()}" width="1" height="1"/><rect')

    pdf = printed('<img alt="a dot" src="paper:dot">', {"dot": svg(drawing)})

    assert "the key" not in text(pdf)


def test_a_page_is_tagged_and_titled():
    pdf = printed("<h1>Work order</h1><p>Ida")

    assert facts(pdf)["Tagged"] == "yes"
    assert facts(pdf)["Title"] == "A page"
    assert aloud(pdf) == "Work order Ida"


def test_a_page_names_nobody_and_no_place_on_the_machine():
    assert set(facts(printed("x"))) & {"Author", "Creator", "Subject", "Keywords"} == set()


def test_fonts_are_the_shops_own_and_lie_in_the_file():
    assert fonts(printed("<p>Łódź <b>Größe Čeněk</b> İstanbul")) == {
        "Atkinson-Hyperlegible-Next": True,
        "Atkinson-Hyperlegible-Next-Bold": True,
        "Atkinson-Hyperlegible-Next-Extended": True,
        "Atkinson-Hyperlegible-Next-Extended-Bold": True,
    }


def test_letters_that_the_shops_font_lacks_come_from_a_second_one():
    assert fonts(printed("<p>λ فاطمة נועה"))["DejaVu-Sans"]


def test_a_label_is_cut_below_its_last_line():
    pdf = printed('<p>one line</p><div id="end"></div>', foot_mm=5)

    wide, high = size_mm(pdf)
    assert wide == 210
    assert 15 <= high <= 25


@pytest.mark.parametrize("wide", [80.0, 80.4, 80.8, 81.2, 81.6, 82.0, 82.4, 82.8])
def test_no_line_is_broken_after_its_first_word_for_want_of_a_blank(wide):
    style = f"<style>p {{ width: {wide}mm; font-size: 10.5pt }}</style>"

    said = lines(printed("<p>Nothing left inside; every needle and clip counted.\n   </p>", head=style))

    assert said[0].startswith("Nothing left inside; every needle and clip")


@pytest.mark.parametrize("marks", ["\x0b", "\x1f", "&nbsp;", "<br>", "<wbr>", "<b>unended"])
def test_whatever_stands_in_a_name_is_printed(marks):
    said = (
        aloud(printed(f"<h1>Work order</h1><p>Ida {marks}Quist</p>")).replace("\x0b", "").replace("\x1f", "")
    )

    assert said.split() == [
        "Work",
        "order",
        *(["Ida", "unendedQuist"] if "un" in marks else ["Ida", "Quist"]),
    ]


def test_a_paper_is_the_same_whether_its_markup_is_strict_or_not():
    strict = '<h1>Work order</h1><p dir="ltr">Ida &amp; &lt;Quist&gt;<br>&#x27;3&quot;</p><p>end</p>'

    assert printed(strict) == printed(strict.removesuffix("</p>"))

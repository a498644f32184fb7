"""Papers that were made are kept, and read by nobody but a shop that would make the same."""

import logging
import os
import time
from dataclasses import replace

import pytest

from shoprepair.papers import kept, render
from shoprepair.papers.printing import bounded
from shoprepair.papers.printing.order import Order, Unmade
from shoprepair.shop import daily
from shoprepair.shop.archive import registry
from shoprepair.shop.backup import files
from shoprepair.shop.files import Kept, folder, lying

ORDER = Order("<p>Ida Quist, https://shop.example/s/secret", ("sheet",))
PAPER = b"%PDF-1.7 Ida Quist, https://shop.example/s/secret"
DAY_S = 24 * 3600


@pytest.fixture(autouse=True)
def _own_folder(settings, tmp_path, monkeypatch):
    settings.MEDIA_ROOT = tmp_path / "files"
    monkeypatch.setattr(kept, "_away_until", 0.0)


def keep(order: Order = ORDER, paper: bytes = PAPER) -> kept.Seal:
    seal = kept.sealed(order)
    kept.keep(seal, paper)
    return seal


def test_an_unchanged_paper_is_not_made_again(monkeypatch):
    keep()
    # Whoever made it now would be refused.
    monkeypatch.setattr(bounded, "MOST_MARKUP", 0)
    assert render.paper(ORDER) == PAPER


@pytest.mark.parametrize(
    "other",
    [
        replace(ORDER, markup="<p>Ida Quist"),
        replace(ORDER, style_sheets=("quote",)),
        replace(ORDER, pictures={"photo": render.jpeg(b"x")}),
        replace(ORDER, layouts=(("dense", 1),)),
        replace(ORDER, foot_mm=3.0),
    ],
)
def test_a_paper_that_changed_in_anything_is_another(other):
    keep()
    assert kept.find(kept.sealed(other)) is None


def test_another_version_of_the_program_makes_it_anew(monkeypatch):
    keep()
    monkeypatch.setattr(kept, "_program", lambda: b"of tomorrow")
    assert kept.find(kept.sealed(ORDER)) is None


def test_what_lies_there_tells_nothing_of_what_is_on_it(settings):
    seal = keep()
    lies = (folder() / seal.name).read_bytes()
    assert not any(word in lies for word in (b"PDF", b"Ida", b"secret"))
    settings.SECRET_KEY = "another shop's key " * 4
    assert kept.find(kept.sealed(ORDER)) is None


@pytest.mark.parametrize("broken", [b"", b"short", b"\0" * 400])
def test_a_kept_paper_that_was_changed_is_not_taken_for_one_and_made_good(broken):
    seal = keep()
    (folder() / seal.name).write_bytes(broken)
    assert kept.find(seal) is None
    keep()
    assert kept.find(seal) == PAPER


def test_where_none_can_be_kept_it_is_made_all_the_same_and_the_log_says_so(caplog):
    caplog.set_level(logging.WARNING, "shoprepair.papers")
    folder().write_text("A file where the folder was.")
    assert render.paper(Order('<html lang="en"><title>x</title><p>x', ("sheet",))).startswith(b"%PDF")
    keep()
    assert caplog.text.count("not kept for a minute") == 1


def test_none_is_kept_of_what_could_not_be_made(monkeypatch):
    monkeypatch.setattr(bounded, "MOST_MARKUP", 0)
    with pytest.raises(Unmade):
        render.paper(ORDER)
    assert not list(lying(kept.FOLDER))


def test_after_a_month_it_goes_and_the_oldest_of_too_much_before(monkeypatch):
    seals = [keep(replace(ORDER, foot_mm=float(days))) for days in (31, 20, 10)]
    for seal, days in zip(seals, (31, 20, 10), strict=True):
        at = time.time() - days * DAY_S
        os.utime(folder() / seal.name, (at, at))
    assert kept.sweep() == 1
    assert [kept.find(seal) for seal in seals] == [None, PAPER, PAPER]
    monkeypatch.setattr(kept, "MOST_BYTES", len(PAPER) * 2)
    assert kept.sweep() == 1
    assert [kept.find(seal) for seal in seals] == [None, None, PAPER]


def test_it_is_swept_every_day_and_in_no_backup():
    keep()
    Kept("photos/ab/abcd-large.jpg").write(b"x")
    assert "papers-swept" in daily.duties()
    assert kept.FOLDER in registry.MADE_AGAIN
    assert list(files.present()) == ["photos/ab/abcd-large.jpg"]

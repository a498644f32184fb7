"""A paper that cannot be made is said in plain words, to whoever asked."""

import pytest
from django.urls import reverse

from shoprepair.papers import kept
from shoprepair.papers.printing import bounded
from tests.papers.conftest import CUT


@pytest.fixture(autouse=True)
def _none_is_kept(settings, tmp_path, monkeypatch):
    settings.MEDIA_ROOT = tmp_path
    monkeypatch.setattr(kept, "_away_until", 0.0)


@pytest.fixture
def too_long(monkeypatch):
    monkeypatch.setattr(bounded, "MOST_MARKUP", 100)


def test_the_shop_is_told_that_it_is_too_long_and_what_to_do(make_job, as_person, counter, too_long):
    answer = as_person(counter).get(reverse("work-order", args=[make_job(CUT).number]))
    said = " ".join(answer.content.decode().split())
    assert answer.status_code == 422
    assert "This paper is too long to be made." in said
    assert "put some of its damages or lines on a second job" in said
    assert "Back to the job" in said
    assert answer["Cache-Control"] == "private, no-store"


def test_where_nothing_can_be_made_now_it_is_said_when_to_try_again(
    make_job, as_person, counter, monkeypatch
):
    monkeypatch.setattr(bounded, "PATIENCE_S", 0.01)
    here = reverse("bag-tag", args=[make_job(CUT).number])
    with bounded._pool.turns, bounded._pool.turns:
        answer = as_person(counter).get(here)
    assert answer.status_code == 503
    assert answer["Retry-After"] == "60"
    assert "cannot be made just now" in answer.content.decode()
    assert f'href="{here}"' in answer.content.decode()

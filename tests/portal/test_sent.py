"""What follows an enquiry under its status link: how to pack, the slip, and that no date is promised yet."""

import pytest

from shoprepair.jobs import links
from shoprepair.jobs.models import Job, Stage
from tests.jobs.enquiries.asking import CUT, ask
from tests.portal.visits import words

pytestmark = pytest.mark.django_db


def test_the_status_page_of_an_enquiry_says_how_to_pack_and_promises_no_date(client, shop):
    token = links.token(links.current(ask(CUT).job))
    text = words(client.get(f"/s/{token}/"))
    assert "We have your enquiry. Nothing is agreed yet." in text
    assert "Shake the sand out." in text
    assert "Promised for" not in text


def test_until_the_gear_is_here_the_status_page_repeats_what_was_advised_and_no_figure_beside_it(
    client, shop
):
    enquiry = ask(CUT)
    page = client.get(f"/s/{links.token(links.current(enquiry.job))}/")
    text = words(page)
    assert "Do not inflate it; bring it in" in text
    assert "We said: Do not inflate it; bring it in." in text
    assert not any(damage.reason["text"].split("{")[0] in text for damage in enquiry.job.damages.all())
    answer = page.context["advised"].path
    assert "Do not inflate it; bring it in" in words(client.get(answer))


def test_until_the_gear_is_here_no_tag_on_the_drawing_is_coloured_by_a_band(client, shop):
    path = f"/s/{links.token(links.current(ask(CUT).job))}/"
    drawn = client.get(path).context["drawing"]
    assert "pin band-unknown" in drawn
    assert "pin band-grounded" not in drawn
    Job.objects.update(stage=Stage.CHECKED_IN)
    assert "pin band-grounded" in client.get(path).context["drawing"]


def test_the_slip_is_in_the_language_that_was_asked_in(client, shop):
    token = links.token(links.current(ask(CUT, language="de").job))
    assert f"/s/{token}/parcel-slip.pdf?lang=de" in client.get(f"/s/{token}/").content.decode()


def test_whoever_prints_the_page_after_sending_can_read_the_address_of_their_own(client, shop):
    token = links.token(links.current(ask(CUT).job))
    shop.web_address = "https://loft.example"
    shop.save()
    assert f"Your own page: https://loft.example/s/{token}/" in words(client.get(f"/s/{token}/sent/"))


def test_once_the_gear_is_here_the_page_after_sending_is_gone(client, shop):
    enquiry = ask(CUT)
    token = links.token(links.current(enquiry.job))
    assert client.get(f"/s/{token}/sent/").status_code == 200
    Job.objects.update(stage=Stage.CHECKED_IN)
    assert client.get(f"/s/{token}/sent/").status_code == 404
    assert client.get(f"/s/{token}/parcel-slip.pdf").status_code == 404


def test_the_parcel_slip_is_a_pdf_that_nobody_keeps(client, shop):
    token = links.token(links.current(ask(CUT).job))
    response = client.get(f"/s/{token}/parcel-slip.pdf?lang=de")
    assert response["Content-Type"] == "application/pdf"
    assert response["Cache-Control"] == "private, no-store"
    assert response.content.startswith(b"%PDF")

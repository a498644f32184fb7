"""A quote on paper, and the customer's answer to it."""

from shoprepair.papers import quote as paper_quote
from shoprepair.pricing import answers, totals
from tests.papers.conftest import BASE_URL


def printed(quote, paper="A4"):
    return paper_quote.render(quote, paper=paper, base_url=BASE_URL)


def answered(quote, *, accepted=True, without=(), name="Ida Quist", **how):
    taken = {each.pk for each in quote.lines.all() if each.taken and each.text not in without}
    return answers.answer(
        quote,
        name=name,
        accepted=accepted,
        taken=taken,
        total_shown=totals.of(quote, taken).total,
        version=quote.version,
        **how,
    )

"""Everything the shop holds, for taking away: each table, the whole shop, or one customer's part."""

from collections.abc import Iterator

from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext
from django.views.decorators.http import require_safe

from shoprepair.jobs import search
from shoprepair.shop.access import owner_only
from shoprepair.shop.archive import downloads, keeping, tables
from shoprepair.shop.archive.table_words import GROUPS
from shoprepair.shop.settings import current

FORMS = {
    "csv": (downloads.csv_lines, "text/csv; charset=utf-8"),
    "json": (downloads.json_lines, "application/json; charset=utf-8"),
}
LONGEST_SEARCH = 100


@owner_only
@require_safe
def leaving(request: HttpRequest) -> HttpResponse:
    """The ways out."""
    text = request.GET.get("who", "")[:LONGEST_SEARCH].replace("\0", "")
    page = {
        "groups": list(_groups()),
        "newest": keeping.newest(),
        "invoice_years": current().invoice_years,
        "text": text,
        "found": search.find(text) if text else [],
    }
    return render(request, "office/leaving/leaving.html", page)


def _groups() -> Iterator[tuple[str, list[tuple[tables.Table, int]]]]:
    """The tables under what they are about, each with how many rows it has."""
    known = {each.label: each for each in tables.tables()}
    for about, labels in GROUPS:
        held = sorted((known[label] for label in labels), key=lambda each: each.words)
        yield str(about), [(each, each.count()) for each in held]


@owner_only
@require_safe
def table(request: HttpRequest, label: str, form: str) -> HttpResponse | StreamingHttpResponse:
    """One table as CSV or JSON, sent line by line."""
    found = tables.table(label)
    if found is None or form not in FORMS:
        raise Http404(gettext("There is no such table, or not in this form."))
    lines, kind = FORMS[form]
    answer = StreamingHttpResponse(lines(found) if request.method == "GET" else [], content_type=kind)
    name = f"{label.replace('.', '-').lower()}-{timezone.localdate():%Y%m%d}.{form}"
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    answer["Cache-Control"] = "no-store"
    return answer

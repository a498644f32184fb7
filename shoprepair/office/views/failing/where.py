"""What fails: where on the gear, at what age, what comes back, and what bursts against what was reckoned."""

from collections.abc import Iterator

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString
from django.views.decorators.http import require_safe

from shoprepair.cover.failing import ages, bursts, density, gear, repeats, smallness
from shoprepair.cover.failing.asked import Asked
from shoprepair.gear import describe, kept_drawings
from shoprepair.gear.geometry import OffTheDrawing, resolve
from shoprepair.gear.planform import Planform
from shoprepair.gear.words import place_sentence
from shoprepair.office.forms.failing import AskedForm
from shoprepair.office.views.failing.figures import Figure, between, csv, of_chart, share_dot
from shoprepair.shop.access import owner_only
from shoprepair.shop.charts import Bar, Chart, bars, dots, percent, plain, table
from shoprepair.shop.settings import cases
from shoprepair.shop.units import Units, say

PLURAL = {"wing": "wings", "kite": "kites"}
ON = {
    "leading edge": "the leading edge",
    "strut": "struts",
    "canopy": "the canopy",
    "window": "windows",
    "trailing edge": "the trailing edge",
    "handle": "handles",
    "bridle point": "bridle points",
    "valve": "valves",
    "hose": "hoses",
}


@owner_only
@require_safe
def where(request: HttpRequest) -> HttpResponse:
    """The report; with `table` the CSV of one of its figures."""
    form = AskedForm(request.GET)
    asked = form.asked() if form.is_valid() else Asked()
    of = density.heaps(asked)
    sections = _sections(asked, of, request.units) if of else []
    figures = [figure for section in sections for figure in section["figures"]]
    if slug := request.GET.get("table"):
        if answer := csv(figures, slug):
            return answer
        raise Http404
    page = {
        "form": form,
        "all": asked.is_all,
        "sections": sections,
        "damages": sum(heap.count for heap in of),
        "kept": _kept(request),
    }
    return render(request, "office/failing/where.html", page, status=200 if form.is_valid() else 422)


def _kept(request: HttpRequest) -> str:
    """What was asked, as it goes on in the address of a table."""
    kept = request.GET.copy()
    kept.pop("table", None)
    return f"{kept.urlencode()}&" if kept else ""


def _sections(asked: Asked, of: list[density.Heap], units: Units) -> list[dict[str, object]]:
    """The report's sections, with their figures numbered through."""
    numbers = iter(range(1, 20))
    return [
        {"title": "Where it fails", "figures": list(_density(asked, of, numbers, units))},
        {"title": "At what age", "figures": [_ages(asked, next(numbers))]},
        {"title": "What comes back", "figures": list(_repeats(asked, numbers))},
        {"title": "What was reckoned, and what burst", "figures": list(_bursts(asked, numbers))},
    ]


def _density(asked: Asked, of: list[density.Heap], numbers: Iterator[int], units: Units) -> Iterator[Figure]:
    patterns = gear.standing_for(asked)
    lent = kept_drawings.kept(list(patterns.values()))
    for (kind, pattern), kept in zip(patterns.items(), lent, strict=True):
        here = [heap for heap in of if heap.kind == kind]
        planform = describe.planform(pattern)
        marks = density.marks(planform, here)
        title = f"Damages on {PLURAL[kind]}"
        total = sum(heap.count for heap in here)
        yield Figure(
            number=next(numbers),
            slug=f"damages-on-{PLURAL[kind]}",
            title=title,
            finding=_densest(planform, here, marks, units),
            caution=smallness.few(total, "damage"),
            note=f"Drawn on {pattern}. Damages on other patterns lie at the same share of span and chord.",
            svg=density.draw(planform, marks, title=title, unique=f"damages-on-{PLURAL[kind]}", kept=kept),
            table=density.counted(here),
            key=density.key(marks),
        )


def _densest(planform: Planform, here: list[density.Heap], marks: list[density.Mark], units: Units) -> str:
    total, parts = sum(heap.count for heap in here), dict[str, int]()
    for heap in here:
        parts[heap.element] = parts.get(heap.element, 0) + heap.count
    part, most = max(parts.items(), key=lambda found: found[1])
    said = f"{smallness.count(total, 'damage')}. {percent(most / total)} lie on {ON[part]}."
    fullest = marks[0]
    if fullest.count < smallness.FEW_EVENTS:
        return said
    try:
        spot = resolve(planform, *fullest.at)
    except OffTheDrawing:
        return said
    where = say(place_sentence(planform, spot.place, *fullest.at), units)
    return f"{said} The fullest spot holds {plain(fullest.count)}: {where}."


def _ages(asked: Asked, number: int) -> Figure:
    found = ages.ages(asked)
    rows = [
        Bar(f"{years}" if years < ages.OLDEST else f"{years}+", [n]) for years, n in enumerate(found.counts)
    ]
    chart = bars(
        rows, ["damages"], title="Damages by age of the gear", unique="age", of="years since it was bought"
    )
    every = plain(found.known + found.unknown)
    said = f"The year it was bought is known for {smallness.count(found.known, 'damage')} of {every}."
    note = "Whole years from then to the year it came in. How much gear of an age is about, nobody knows."
    return of_chart(chart, number, finding=said, caution=smallness.few(found.known, "damage"), note=note)


def _repeats(asked: Asked, numbers: Iterator[int]) -> Iterator[Figure]:
    whole, by_part, by_kind = repeats.repeats(asked)
    share = whole.share
    said = "No repair has been handed back yet."
    if whole.repaired:
        places = f"{smallness.count(whole.again, 'place')} of {smallness.count(whole.repaired, 'repair')}"
        said = f"{places} came back: {percent(share.value)}, {between(share.low, share.high)}."
    caution = smallness.words(whole.repaired, whole.again, event="repeat")
    note = (
        "A later visit found damage on the same part within 10 cm. It may be new damage beside a sound patch."
    )
    yield of_chart(
        _shares(by_part, "part", "repeats-by-part"),
        next(numbers),
        finding=said,
        caution=caution,
        note=note,
    )
    if whole.repaired:
        yield of_chart(
            _shares(by_kind, "damage", "repeats-by-damage"),
            next(numbers),
            finding="The same repairs, told apart by the damage they mended.",
            caution=caution,
        )


def _shares(rows: list[repeats.Repeat], by: str, unique: str) -> Chart:
    return dots(
        [share_dot(row.name, row.again, row.repaired) for row in rows],
        title=f"Repaired twice, by {by}",
        unique=unique,
        of="share repaired twice",
        say=percent,
        name=by,
        note="repaired twice",
    )


def _bursts(asked: Asked, numbers: Iterator[int]) -> Iterator[Figure]:
    loaded = bursts.by_load(asked, cases())
    burst, of = sum(row.bursts for row in loaded), sum(row.damages for row in loaded)
    yield of_chart(
        dots(
            [share_dot(row.name, row.bursts, row.damages) for row in loaded],
            title="Bursts by the load that sound cloth bears there",
            unique="bursts-by-load",
            of="share that were bursts",
            say=percent,
            name="load ratio",
            note="bursts",
        ),
        next(numbers),
        finding=f"{smallness.count(burst, 'burst')} among {smallness.count(of, 'damage')} on tubes.",
        caution=smallness.words(of, burst, of="damage", event="burst"),
        note="λ: the share of its strength that whole cloth bears there at full load. If the arithmetic is "
        "right, bursts grow more frequent downwards.",
    )
    yield _later(asked, next(numbers))


def _later(asked: Asked, number: int) -> Figure:
    rows = bursts.later(asked)
    left, burst = sum(row.left for row in rows), sum(row.left_burst for row in rows)
    said = "No damage on a tube was left unrepaired."
    if left:
        said = f"{smallness.count(left, 'damage')} on tubes went unrepaired; {burst} came back as bursts."
    return of_chart(
        _bands(rows),
        number,
        finding=said,
        caution=smallness.words(left, burst, of="such damage", event="burst"),
        note="By the band they were given. Who never came back counts as not burst, so there were no fewer.",
    )


def _bands(rows: list[bursts.Later]) -> Chart:
    """The shares of what was left; its table has beside them what was repaired."""
    chart = dots(
        [share_dot(row.band, row.left_burst, row.left) for row in rows if row.left],
        title="Left as they were, and burst later",
        unique="burst-later",
        of="share that burst there",
        say=percent,
        name="band",
        note="burst later",
    )
    head = ["band", "left as it was", "burst later", "repaired", "burst there later"]
    counts = [[row.left, row.left_burst, row.repaired, row.repaired_burst] for row in rows]
    cells = [[row.band, *map(str, n)] for row, n in zip(rows, counts, strict=True)]
    svg = chart.svg if any(row.left for row in rows) else SafeString("")
    return Chart(svg, table(head, cells), chart.title, chart.unique)

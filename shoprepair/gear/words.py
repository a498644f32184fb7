"""Places in the words that the shop uses. Left and right are those of the drawing."""

from shoprepair.gear.curve import centreline
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape
from shoprepair.gear.sites import Site
from shoprepair.mechanics.description import SAILCLOTH, Element, Place, Quantity, Sentence
from shoprepair.shop.languages import begun_large, gettext_lazy
from shoprepair.shop.said import gettext, listed

ORDINALS = (
    gettext_lazy("first"),
    gettext_lazy("second"),
    gettext_lazy("third"),
    gettext_lazy("fourth"),
    gettext_lazy("fifth"),
    gettext_lazy("sixth"),
    gettext_lazy("seventh"),
    gettext_lazy("eighth"),
    gettext_lazy("ninth"),
    gettext_lazy("tenth"),
)
AT_THE_CENTRE_M = 0.05
AT_THE_TIP_M = 0.12


def ordinal(number: int) -> str:
    """first, second, … from 1 on; 11th and so on past ten."""
    if number <= len(ORDINALS):
        return gettext(ORDINALS[number - 1])
    return gettext("%(number)sth") % {"number": number}


def place_sentence(planform: Planform, place: Place, x_m: float, y_m: float) -> Sentence:
    """Where a damage is, as a Sentence whose distance stays in metres.

    On a leading edge the distance is measured along the tube from the centre, as a tape would.
    """
    if place.strut is not None:
        return _on_strut(planform, place, y_m)
    if place.element in SAILCLOTH:
        return _on_canopy(planform, place, x_m)
    return _along_the_edge(planform, place)


def short_place(planform: Planform, place: Place) -> str:
    """The place in two or three words, for a tag or a table: 'leading edge right', 'second strut left'."""
    if place.element is Element.STRUT:
        return strut_name(planform, place.strut or 0, place.side)
    if place.element is Element.LEADING_EDGE and place.side == "centre":
        return gettext("leading edge, centre")
    if place.element is Element.HANDLE:
        return bar_name(planform, nearest_bar(planform, place.fraction))
    element = gettext(place.element)
    if place.side == "centre":
        return element
    return gettext("%(element)s %(side)s") % {"element": element, "side": gettext(place.side)}


def strut_name(planform: Planform, index: int, side: str) -> str:
    """'centre strut', 'first strut left': pairs are counted outwards from the centre."""
    strut = planform.struts[index]
    if strut.is_centre:
        return gettext("centre strut")
    return gettext("%(ordinal)s strut %(side)s") % {
        "ordinal": ordinal(_number(planform, index)),
        "side": gettext(side),
    }


def _number(planform: Planform, index: int) -> int:
    """Of a strut off the centre, counted outwards from 1."""
    return index if planform.struts[0].is_centre else index + 1


def site_name(planform: Planform, site: Site) -> str:
    """A fitting's own name: 'Front handle', 'Second bridle point left', 'Inflation valve, centre strut'."""
    return begun_large(site_words(planform, site))


def site_words(planform: Planform, site: Site) -> str:
    """A fitting's name within a sentence, which knows what it was made of."""
    if site.element is Element.HANDLE:
        return bar_name(planform, site.number)
    if site.element is Element.BRIDLE_POINT:
        return gettext("%(number)s bridle point %(site)s") % {
            "number": ordinal(site.number),
            "site": gettext(_side_of(site)),
        }
    noun = gettext("Strut hose") if site.kind == "hose" else valve_name(site.kind)
    if site.strut is None:
        return gettext("%(noun)s, leading edge %(site)s") % {"noun": noun, "site": gettext(_side_of(site))}
    return listed(noun, strut_name(planform, site.strut, _side_of(site)))


def valve_name(kind: str) -> str:
    """'inflation valve', 'dump valve'."""
    return gettext("dump valve") if kind == "dump" else gettext("inflation valve")


def bar_name(planform: Planform, number: int) -> str:
    """'boom', or 'front handle', 'rear handle' counted from the leading edge."""
    if planform.boom:
        return gettext("boom")
    count = len(planform.handle_shares)
    if count == 1:
        return gettext("handle")
    return {1: gettext("front handle"), count: gettext("rear handle")}.get(
        number, gettext("%(ordinal)s handle") % {"ordinal": ordinal(number)}
    )


def nearest_bar(planform: Planform, fraction: float) -> int:
    """Number of the handle nearest to a share of the centre strut."""
    middles = [(low + high) / 2 for low, high in planform.handle_shares] or [0.5]
    return 1 + min(range(len(middles)), key=lambda i: abs(middles[i] - fraction))


def _side_of(site: Site) -> str:
    if abs(site.middle.x_m) < AT_THE_CENTRE_M and site.strut is not None:
        return "centre"
    return "left" if site.middle.x_m < 0 else "right" if site.middle.x_m > 0 else "centre"


def cell_name(planform: Planform, cell: int, side: str) -> str:
    """Between which struts a cell lies: 'between the first and second strut left'."""
    inner, outer = _strut_before(planform, cell), _strut_after(planform, cell)
    if outer is None:
        inward = gettext("centre strut") if inner is None or planform.struts[inner].is_centre else None
        return gettext("between the %(value)s and the %(side)s tip") % {
            "value": inward or strut_name(planform, inner or 0, side),
            "side": gettext(side),
        }
    if inner is None:
        return gettext("between the centre and the %(planform)s") % {
            "planform": strut_name(planform, outer, side)
        }
    if planform.struts[inner].is_centre:
        return gettext("between the centre strut and the %(planform)s") % {
            "planform": strut_name(planform, outer, side)
        }
    return gettext("between the %(first)s and %(planform)s") % {
        "first": ordinal(_number(planform, inner)),
        "planform": strut_name(planform, outer, side),
    }


def row_name(planform: Planform, row: int) -> str:
    """'front row', 'second row', 'rear row'; 'one row' where no seam divides the chord."""
    if planform.rows == 1:
        return gettext("full chord")
    if row == 0:
        return gettext("front row")
    if row == planform.rows - 1:
        return gettext("rear row")
    return (
        gettext("middle row")
        if planform.rows == 3
        else gettext("%(ordinal)s row") % {"ordinal": ordinal(row + 1)}
    )


def _strut_before(planform: Planform, cell: int) -> int | None:
    index = cell if planform.struts and planform.struts[0].is_centre else cell - 1
    return index if 0 <= index < len(planform.struts) else None


def _strut_after(planform: Planform, cell: int) -> int | None:
    index = cell + 1 if planform.struts and planform.struts[0].is_centre else cell
    return index if index < len(planform.struts) else None


def _on_strut(planform: Planform, place: Place, y_m: float) -> Sentence:
    name = strut_name(planform, place.strut or 0, place.side)
    front, back = shape(planform).strut_ends(place.strut or 0)
    if place.element is Element.HANDLE:
        return Sentence(bar_name(planform, nearest_bar(planform, place.fraction)))
    if place.element is not Element.STRUT:
        return Sentence(
            gettext("%(element)s at the %(name)s") % {"element": gettext(place.element), "name": name}
        )
    if place.fraction < 0.06:
        return Sentence(gettext("%(name)s, at the leading edge") % {"name": name})
    if place.fraction > 0.9:
        return Sentence(gettext("%(name)s, near the trailing edge") % {"name": name})
    behind = min(max(y_m - front, 0.0), back - front)
    return Sentence(
        gettext("%(name)s, {distance} behind the leading edge") % {"name": name},
        {"distance": Quantity(behind, "m")},
    )


def _on_canopy(planform: Planform, place: Place, x_m: float) -> Sentence:
    of, side = shape(planform), "left" if x_m < 0 else "right"
    name = cell_name(planform, of.cell_at(x_m), side)
    if place.element is Element.TRAILING_EDGE:
        return Sentence(gettext("trailing edge, %(name)s") % {"name": name})
    row = sum(place.fraction > seam for seam in planform.canopy_seams)
    return Sentence(listed(gettext(place.element), name, row_name(planform, row)))


def _along_the_edge(planform: Planform, place: Place) -> Sentence:
    line = centreline(planform)
    along = line.arc(line.t_at_station(place.station))
    name = (
        gettext("%(element)s on the leading edge") % {"element": gettext(place.element)}
        if place.element is not Element.LEADING_EDGE
        else gettext("leading edge")
    )
    if along < AT_THE_CENTRE_M:
        return Sentence(gettext("%(name)s, at the centre") % {"name": name})
    if line.length_m - along < AT_THE_TIP_M:
        return Sentence(
            gettext("%(name)s, at the %(side)s tip") % {"name": name, "side": gettext(place.side)}
        )
    return Sentence(
        gettext("%(name)s, {distance} %(side)s of centre") % {"name": name, "side": gettext(place.side)},
        {"distance": Quantity(along, "m")},
    )

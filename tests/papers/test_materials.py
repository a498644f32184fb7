import pytest

from shoprepair.mechanics.description import Answer, Element, FindingKind
from shoprepair.papers.materials import likely
from shoprepair.papers.steps import Task


def task(kind, element, **more):
    return Task(number=1, title="", element=element, kind=kind, **more)


@pytest.mark.parametrize(
    ("kind", "element", "names"),
    [
        (FindingKind.CUT, Element.LEADING_EDGE, ("Polyester casing cloth", "Sewing thread")),
        (FindingKind.BURST, Element.STRUT, ("Polyester casing cloth", "Sewing thread", "TPU film")),
        (FindingKind.LEAK, Element.LEADING_EDGE, ("Sewing thread", "TPU film")),
        (FindingKind.LEAK, Element.VALVE, ("Valve",)),
        (FindingKind.LEAK, Element.HOSE, ("Hose and clamps",)),
        (FindingKind.TEAR, Element.CANOPY, ("Ripstop tape",)),
        (FindingKind.SEAM_OPENED, Element.CANOPY, ("Sewing thread",)),
        (FindingKind.CRACK, Element.WINDOW, ("Window film",)),
        (FindingKind.STITCHING, Element.HANDLE, ("Sewing thread",)),
        (FindingKind.RESIDUE, Element.CANOPY, ("Solvent",)),
        (FindingKind.STAIN, Element.CANOPY, ()),
        (None, Element.CANOPY, ()),
    ],
)
def test_a_repair_names_what_it_is_likely_to_use_up(kind, element, names):
    assert likely([task(kind, element)]) == names


def test_a_cut_through_the_bladder_takes_film_too():
    assert "TPU film" in likely([task(FindingKind.CUT, Element.LEADING_EDGE, through_bladder=Answer.YES)])


def test_each_material_stands_there_once():
    tears = [task(FindingKind.TEAR, Element.CANOPY), task(FindingKind.HOLE, Element.TRAILING_EDGE)]

    assert likely(tears) == ("Ripstop tape",)

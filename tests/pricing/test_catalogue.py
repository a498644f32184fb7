"""The catalogue that comes with the program. Its prices are invented in the trade's proportions:
common practice, no source."""

import re
from decimal import Decimal

import pytest
from django.core.management import call_command

from shoprepair.gear import library
from shoprepair.pricing import catalogue, step_codes
from shoprepair.pricing.models import Material, Operation, OperationMaterial
from shoprepair.pricing.proposals import layups, measures
from shoprepair.pricing.step_codes import BEWARE
from shoprepair.shop.models import Shop
from shoprepair.shop.settings import current

RELIED_ON = set(
    """
casing-patch-small casing-patch casing-panel casing-scuff-ply le-burst-rebuild strut-burst-rebuild
closing-seam-resew segment-seam-resew bladder-patch bladder-replace-le bladder-replace-strut
valve-reseal valve-replace dump-valve-replace hose-replace hose-refit canopy-tape canopy-patch-sewn
canopy-panel canopy-seam-resew stretch-patch-peel stretch-patch-cut-out window-tape window-replace
trailing-edge-resew trailing-edge-rebuild strut-joint-resew strut-end-rebuild handle-resew
handle-replace bridle-point-resew bridle-point-rebuild closing-zip-replace zip-slider-replace
wash-and-dry full-check hold-test mirror-place-check
""".split()  # noqa: SIM905 - a column of codes reads better than a column of quotes
)
NO_MATERIAL = {"full-check", "mirror-place-check"}
"""Looking and writing use nothing up."""


@pytest.fixture
def operations(db: None) -> dict[str, Operation]:
    library.load()
    catalogue.load()
    return {row.code: row for row in Operation.objects.prefetch_related("materials__material")}


def test_the_catalogue_has_all_operations_that_proposals_rely_on(operations: dict[str, Operation]) -> None:
    assert set(operations) >= RELIED_ON
    assert len(operations) >= 30


def test_every_part_of_an_inflatable_can_be_repaired(operations: dict[str, Operation]) -> None:
    assert {row.area for row in operations.values()} == set(Operation.Area)


def test_every_row_is_one_that_the_owner_could_have_typed(operations: dict[str, Operation]) -> None:
    for row in [*operations.values(), *Material.objects.all(), *OperationMaterial.objects.all()]:
        row.full_clean(validate_unique=False)


def test_every_operation_says_what_is_done_in_whole_sentences(operations: dict[str, Operation]) -> None:
    for row in operations.values():
        assert 3 <= len(row.steps) <= 7, row
        assert all(re.fullmatch(r"[A-Z].{10,200}\.", step) for step in row.steps), row
        assert row.cover_terms.endswith("."), row


def test_every_operation_takes_time_and_uses_something_up(operations: dict[str, Operation]) -> None:
    assert all(row.set_up_minutes > 0 for row in operations.values())
    assert {row.code for row in operations.values() if not row.materials.all()} == NO_MATERIAL


def test_what_is_priced_by_its_size_is_given_a_size_where_it_is_proposed(
    operations: dict[str, Operation],
) -> None:
    """Else it is priced as if nothing were sewn and nothing covered. A new zip is put on a quote by hand."""
    by_size = {
        code
        for code, row in operations.items()
        if row.minutes_per_m or row.minutes_per_m2 or row.materials.exclude(basis="each").exists()
    }
    sized = {*layups.MAKERS, *measures._OF_CODE}
    assert by_size - sized == {"closing-zip-replace"}, (
        "write it into MAKERS of pricing/proposals/layups.py, or into _OF_CODE of measures.py"
    )
    assert sized <= by_size


def test_every_material_is_used_by_some_operation(operations: dict[str, Operation]) -> None:
    assert not Material.objects.filter(uses=None)


def test_what_is_sewn_from_inside_needs_an_opening_with_the_bladder_out_of_the_way(
    operations: dict[str, Operation],
) -> None:
    for code in ("casing-patch", "le-burst-rebuild", "strut-burst-rebuild", "handle-replace"):
        assert operations[code].needs_opening, code
        assert operations[code].bladder_out, code
    for row in operations.values():
        assert not (row.needs_opening and row.area in {"canopy", "window", "trailing edge", "care"}), row


def test_whatever_holds_air_is_tested_and_what_holds_none_is_not(operations: dict[str, Operation]) -> None:
    tested = {row.area for row in operations.values() if row.needs_hold_test}
    assert tested == {"casing", "seam", "bladder", "valve", "strut", "attachment", "closure", "care"}


def test_a_hot_knife_a_needle_and_a_solvent_carry_their_caution(operations: dict[str, Operation]) -> None:
    steps = [step.casefold() for row in operations.values() for step in row.steps]
    assert all("window open" in step for step in steps if "hot knife" in step)
    assert all("needle" in step for step in steps if re.match(r"sew .*\b(rows?|pattern)\b", step))
    assert all("window open" in step for step in steps if "with alcohol" in step)
    assert all("ears protected" in step for step in steps if "in steps" in step)


def test_no_maker_is_named(operations: dict[str, Operation]) -> None:
    """Common practice, no source: names that the trade says for a tape, a film or a thread."""
    names = [row.name for row in [*operations.values(), *Material.objects.all()]]
    sentences = [text for row in operations.values() for text in (*row.steps, row.cover_terms)]
    words = ". ".join([*names, *sentences])
    assert not re.search(r"[®™]", words)
    assert set(re.findall(r"\b[A-Z]{2,}\b", words)) == {"TPU"}
    assert set(re.findall(r"(?<=[a-z,:] )[A-Z]\w+", words)) == {"TPU", "Tex"}


def test_loading_again_doubles_nothing(operations: dict[str, Operation]) -> None:
    before = [model.objects.count() for model in (Operation, Material, OperationMaterial)]
    assert catalogue.load() == []
    assert [model.objects.count() for model in (Operation, Material, OperationMaterial)] == before


def test_loading_again_leaves_what_the_owner_changed(operations: dict[str, Operation]) -> None:
    Operation.objects.filter(code="canopy-tape").update(set_up_minutes=31, active=False)
    operations["canopy-tape"].materials.all().delete()
    Material.objects.filter(code="hose").update(price=Decimal("12.40"))
    catalogue.load()
    tape = Operation.objects.get(code="canopy-tape")
    assert (tape.set_up_minutes, tape.active, tape.materials.count()) == (31, False, 0)
    assert Material.objects.get(code="hose").price == Decimal("12.40")


def test_loading_brings_back_only_what_is_missing(operations: dict[str, Operation]) -> None:
    operations["hose-refit"].delete()
    assert [row.code for row in catalogue.load()] == ["hose-refit"]


def test_the_command_says_how_many_operations_there_are(db: None, capsys: pytest.CaptureFixture[str]) -> None:
    call_command("load_catalogue")
    count = Operation.objects.count()
    assert capsys.readouterr().out == f"{count} operations are in the catalogue, {count} of them new.\n"


def test_the_office_hears_how_many_operations_the_program_has_that_the_shop_has_not(
    operations: dict[str, Operation],
) -> None:
    assert catalogue.missing() == 0
    operations["canopy-tape"].delete()
    assert catalogue.missing() == 1
    assert [new.code for new in catalogue.load()] == ["canopy-tape"]


@pytest.mark.django_db
@pytest.mark.parametrize(("language", "name"), [("de", "Bladder flicken"), ("es", "Parchear una cámara")])
def test_a_shop_gets_its_catalogue_in_its_own_language(language: str, name: str) -> None:
    current()
    Shop.objects.update(language=language)
    english = {row["code"]: row for row in catalogue.read("operations.json")}

    catalogue.load()

    assert Operation.objects.get(code="bladder-patch").name == name
    for row in Operation.objects.all():
        was = english[row.code]
        assert len(row.steps) == len(was["steps"])
        assert not {row.name, row.cover_terms, *row.steps} & {was["name"], was["cover_terms"], *was["steps"]}
        assert [BEWARE in step for step in row.steps] == [BEWARE in step for step in was["steps"]]
    english_names = {row["name"] for row in catalogue.read("materials.json")}
    assert not english_names & set(Material.objects.values_list("name", flat=True))


def test_what_a_step_does_stays_with_it_when_it_is_put_in_other_words() -> None:
    before = ["Mark it.", "Sew two rows.", "Spread the adhesive thin."]
    codes = ["", "sew", "glue dry"]
    carried = step_codes.carried
    assert carried(["Mark it.", "Näh zwei Reihen.", "Spread the adhesive thin."], before, codes) == codes
    assert carried(["Spread the adhesive thin.", "Mark it."], before, codes) == ["glue dry", ""]
    assert carried(["Sew two rows anew.", "Look at it."], before, codes) == ["sew", ""]
    assert carried(["Quite another line."], before, codes) == []

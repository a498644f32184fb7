import hashlib
import json
import math
import re

import pytest

from shoprepair.cover.layup_words import layup_sentence
from shoprepair.cover.models import Cover
from shoprepair.cover.reading import UnreadableRecord, read, read_text
from shoprepair.cover.record import canonical
from shoprepair.cover.revive import revive
from shoprepair.gear import library
from shoprepair.gear.describe import description, planform
from shoprepair.gear.models import Pattern
from shoprepair.gear.planform import Planform
from shoprepair.jobs import photos
from shoprepair.jobs.models import Customer, Damage, Photo
from shoprepair.jobs.stored import plain
from shoprepair.mechanics import description as mechanics
from shoprepair.pricing.layup import TEX_90
from shoprepair.pricing.resewing import Seam
from shoprepair.pricing.tape import Tape
from shoprepair.shop.models import Shop
from shoprepair.shop.units import Units, say
from tests.cover.covering import a_light_visit, covered, lightly_covered
from tests.factories import handed_back

pytestmark = pytest.mark.django_db


def test_a_cut_sewn_and_its_bladder_patched_are_two_whole_records(metric: Units) -> None:
    Shop.objects.update_or_create(
        pk=1, defaults={"name": "The Loft", "address": "Quay 3\n\nSandholm", "phone": "+1 555 0100"}
    )
    casing, bladder = covered()
    patch, film = read(casing), read(bladder)
    assert (patch.shop.name, patch.shop.lines) == ("The Loft", ("Quay 3", "Sandholm", "+1 555 0100"))
    assert (patch.repair.area, film.repair.area) == ("casing", "bladder")
    assert (patch.techs, patch.checked_by) == (("Tomek Brandal",), "Runa Selvaag")
    assert say(patch.damages[0].what, metric) == "40 mm cut"
    assert patch.damages[0].where == "leading edge right"
    assert say(patch.made, metric) == (
        "1 ply inside and 1 ply outside, 100 mm × 100 mm, sewn in 2 rows of Tex 90 bonded polyester."
    )
    assert film.made is None
    assert casing.cloth == "Polyester casing cloth 170"
    assert bladder.cloth == "TPU film 0.08"
    assert {lot.material for lot in patch.lots} >= {
        "Polyester casing cloth",
        "Bonded polyester thread, Tex 90",
    }
    (test,) = patch.hold_tests
    assert (test.tube, test.verdict) == ("all tubes together", "holds")
    assert say(test.said, metric).startswith("It lost ")
    (photo,) = patch.photos
    kept = photos.file(Photo.objects.get(key=photo.key), "large").read_bytes()
    assert photo.sha256 == hashlib.sha256(kept).hexdigest()
    assert [each.damage for each in (*patch.footprints, *film.footprints)] == [1, 1]
    assert {patch.footprints[0].layer, film.footprints[0].layer} == {"casing", "bladder"}
    customer = Customer.objects.get(jobs=casing.job)
    for secret in (customer.name, customer.phone, customer.email):
        assert secret
        assert secret not in casing.contents + bladder.contents


def test_its_text_is_the_one_text_of_its_contents() -> None:
    cover = lightly_covered()
    assert canonical(json.loads(cover.contents)) == cover.contents
    assert re.fullmatch(r"[0-9a-f]{64}", cover.digest)
    assert cover.digest == hashlib.sha256(f"\n{cover.contents}".encode()).hexdigest()


def test_patterns_come_back_from_a_record_as_they_were(db) -> None:
    library.load()
    for pattern in Pattern.objects.all():
        kept = json.loads(canonical({"of": plain(planform(pattern)), "is": plain(description(pattern))}))
        assert revive(Planform, kept["of"]) == planform(pattern)
        assert revive(mechanics.Pattern, kept["is"]) == description(pattern)


def test_where_nothing_was_left_the_load_ratio_comes_back_infinite() -> None:
    job = a_light_visit()
    Damage.objects.update(
        assessment={"result": {"load_ratio": "inf", "demand_n_per_m": 7465.4}}, load_ratio=None
    )
    (damage,) = read(handed_back(job).covers.get()).damages
    assert math.isinf(damage.load_ratio)
    assert damage.demand_n_per_m == 7465.4


def test_a_photo_that_the_disk_lost_keeps_no_gear_in_the_shop() -> None:
    job = a_light_visit()
    Photo.objects.create(job=job, damage=job.damages.get(), width=40, height=30)
    (photo,) = read(handed_back(job).covers.get()).photos
    assert photo.sha256 == ""


def test_a_seam_and_a_tape_are_said_in_the_reader_s_units(metric: Units, imperial: Units) -> None:
    seam = Seam(
        length_m=0.3, rows=2, pitch_m=0.003, thread=TEX_90, tapes=1, strength_n_per_m=1, required_n_per_m=1
    )
    assert say(layup_sentence(seam), metric) == (
        "300 mm sewn in 2 rows of Tex 90 bonded polyester over 1 strip of new cloth."
    )
    tape = Tape(
        material="ripstop tape",
        faces=2,
        outline_m=(0.254, 0.127),
        overlap_m=0.04,
        corner_m=0.02,
        stiffness_n_per_m=1,
        strength_n_per_m=1,
        required_n_per_m=1,
    )
    assert say(layup_sentence(tape), imperial) == "Ripstop tape on both faces, 10 in × 5 in."


def test_what_a_later_program_adds_is_passed_over_and_a_later_format_is_not_guessed_at() -> None:
    kept = json.loads(lightly_covered().contents)
    kept["gear"]["planform"]["wheels"] = 4
    kept["weather"] = "rain"
    assert read_text(canonical(kept)).gear.pattern == kept["gear"]["pattern"]
    with pytest.raises(UnreadableRecord, match="newer program"):
        read_text(canonical(kept | {"format": 2}))


@pytest.mark.parametrize("contents", ["", "[]", "{}", '{"format":1}', '{"format":"x"}'])
def test_a_record_that_is_none_is_refused_in_a_sentence(contents: str) -> None:
    with pytest.raises(UnreadableRecord, match="changed outside the program"):
        read(Cover(contents=contents))

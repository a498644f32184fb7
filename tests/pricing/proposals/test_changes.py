import pytest

from shoprepair.pricing import proposals
from shoprepair.pricing.models import Operation
from shoprepair.shop import journal
from tests.pricing.mending import KITE, a_job, codes, on_the_canopy, on_the_edge, one, stocked

pytestmark = pytest.mark.django_db
REASON = "For one last season at the school, the customer knows."


@pytest.fixture
def patch(db):
    """A proposed patch of two plies and two rows."""
    stocked()
    damage = on_the_edge(a_job(), 0.1, "cut", mm=35, direction="around", through_bladder="no")
    return proposals.propose(damage)[0]


def change(repair, who, **figures):
    return proposals.change_layup(repair, who=who, version=repair.version, **figures)


def test_a_stronger_lay_up_is_taken_from_anybody_and_journalled(patch, bench):
    changed = change(patch, bench, rows=3, plies_outside=2)
    assert (changed.layup["rows"], changed.layup["plies_outside"], changed.shortfall) == (3, 2, 0)
    entry = journal.entries(patch.damage.job).first()
    assert entry.verb == "repair.changed"
    assert entry.changes["rows"] == [2, 3]


def test_more_rows_make_the_patch_as_much_larger_as_they_need(patch, bench):
    """15 mm clear + 4 x 6 mm between rows + 5 mm edge = 44 mm beyond the damage on each side."""
    changed = change(patch, bench, rows=5)
    assert changed.layup["overlap_m"] == pytest.approx(0.044)
    assert changed.layup["outline_m"] == [0.09, 0.125]
    told = journal.entries(patch.damage.job).first().changes
    assert told == {"rows": [2, 5], "outline": ["60 mm × 95 mm", "90 mm × 125 mm"]}


def test_a_weaker_lay_up_is_refused_with_how_much_is_missing(patch, bench):
    with pytest.raises(proposals.TooWeak, match=r"\d+ % too weak here.*kN/m.*only the owner") as refused:
        change(patch, bench, thread="Tex 70 bonded polyester", rows=1, pitch_m=0.004)
    holds = 1 / 0.004 * 48.9 * 1.24
    needed = patch.layup["required_n_per_m"]
    assert refused.value.shortfall == pytest.approx(1 - holds / needed)
    assert refused.value.missing_n_per_m == pytest.approx(needed - holds)
    patch.refresh_from_db()
    assert patch.layup == patch.proposed


def test_the_owner_lets_a_weak_one_stand_only_with_a_reason(patch, owner):
    weak = {"rows": 1, "pitch_m": 0.005}
    with pytest.raises(proposals.TooWeak, match="give a reason"):
        change(patch, owner, **weak)
    stands = change(patch, owner, reason=REASON, **weak)
    assert (stands.let_stand_by, stands.let_stand_reason) == (owner, REASON)
    assert stands.shortfall > 0
    assert journal.entries(patch.damage.job).first().changes["reason"] == [None, REASON]
    assert REASON in " ".join(note.text for note in proposals.notes(stands))


def test_somebody_else_cannot_let_it_stand_with_a_reason(patch, counter):
    with pytest.raises(proposals.TooWeak):
        change(patch, counter, reason=REASON, rows=1, pitch_m=0.005)


def test_braces_in_a_reason_are_only_letters(patch, owner):
    stands = change(patch, owner, reason="{holds} <b>bold</b>", rows=1, pitch_m=0.005)
    assert any("{{holds}}" in note.text for note in proposals.notes(stands))


def test_two_people_change_one_lay_up_and_the_second_sees_it_as_it_is(patch, bench, counter):
    change(patch, bench, rows=3)
    with pytest.raises(proposals.Stale) as stale:
        change(patch, counter, rows=4)
    assert stale.value.record.layup["rows"] == 3


def test_every_change_can_be_undone(patch, bench):
    changed = change(patch, bench, rows=3)
    back = proposals.back_to_proposed(changed, who=bench, version=changed.version)
    assert back.layup == back.proposed


@pytest.mark.parametrize(
    ("figures", "says"),
    [
        ({"rows": 0}, "Rows of stitches"),
        ({"rows": 99}, "Rows of stitches"),
        ({"plies_inside": -1}, "Plies on one side"),
        ({"plies_inside": 0, "plies_outside": 0}, "at least one ply"),
        ({"pitch_m": 0.02}, "stitch pitch"),
        ({"pitch_m": 0.0}, "stitch pitch"),
        ({"thread": "string"}, "threads"),
        ({"outline_m": (0.02, 0.02)}, "need a patch of at least"),
        ({"outline_m": (0.1, 2.0)}, "only .* around here"),
        ({"outline_m": (90.0, 0.1)}, "sides of a patch"),
        ({"outline_m": (float("nan"), 0.1)}, "sides of a patch"),
    ],
)
def test_figures_that_cannot_be_are_refused_with_a_sentence(patch, bench, figures, says):
    with pytest.raises(ValueError, match=says):
        change(patch, bench, **figures)


def test_tape_on_one_face_holds_half(bench):
    stocked()
    damage = on_the_canopy(a_job(), 0.6, "tear", mm=90)
    tape = one(proposals.propose(damage), "canopy-tape")
    both = tape.layup["strength_n_per_m"]
    changed = change(tape, bench, plies_inside=0, plies_outside=1)
    assert (changed.layup["faces"], changed.layup["strength_n_per_m"]) == (1, pytest.approx(both / 2))


def test_saving_tape_as_it_is_changes_nothing(bench):
    stocked()
    tape = one(proposals.propose(on_the_canopy(a_job(), 0.6, "tear", mm=93)), "canopy-tape")
    outline = tuple(tape.layup["outline_m"])
    same = change(tape, bench, plies_inside=1, plies_outside=1, outline_m=outline)
    assert same.layup == same.proposed
    larger = change(same, bench, outline_m=(outline[0] + 0.05, outline[1] + 0.05))
    assert larger.layup["overlap_m"] > same.layup["overlap_m"]


def test_tape_on_one_face_is_refused_where_one_face_is_too_little(bench):
    stocked()
    damage = on_the_canopy(a_job(KITE), 0.5, "tear", mm=90)
    tape = one(proposals.propose(damage), "canopy-tape")
    with pytest.raises(proposals.TooWeak, match="too weak here"):
        change(tape, bench, plies_inside=0, plies_outside=1)
    with pytest.raises(ValueError, match="one face or on both"):
        change(tape, bench, plies_inside=0, plies_outside=0)


def test_choosing_one_unchooses_the_others(patch, bench):
    damage = on_the_edge(patch.damage.job, 0.5, "burst")
    repairs = proposals.propose(damage)
    proposals.choose(one(repairs, "bladder-patch"), who=bench)
    now = proposals.repairs_of(damage)
    assert [r.operation.code for r in now if r.choice == "bladder" and r.preferred] == ["bladder-patch"]


def test_a_person_adds_an_operation_and_leaves_one_out(patch, bench):
    zip_ = Operation.objects.get(code="closing-zip-replace")
    proposals.change_operation(patch.damage, zip_, who=bench)
    assert "closing-zip-replace" in codes(proposals.propose(patch.damage))
    proposals.drop(patch, who=bench)
    assert codes(proposals.propose(patch.damage)) == ["closing-zip-replace"]
    proposals.change_operation(patch.damage, patch.operation, who=bench)
    assert "casing-patch-small" in codes(proposals.propose(patch.damage))


def test_an_alternative_that_is_put_back_is_not_advised_beside_the_other(patch, bench):
    damage = on_the_edge(patch.damage.job, 0.5, "burst")
    new = one(proposals.propose(damage), "bladder-replace-le")
    proposals.drop(new, who=bench)
    proposals.change_operation(damage, new.operation, who=bench)
    now = [repair for repair in proposals.repairs_of(damage) if repair.choice == "bladder"]
    assert len(now) == 2
    assert [repair.preferred for repair in now].count(True) == 1
    again = [repair for repair in proposals.propose(damage) if repair.choice == "bladder"]
    assert [repair.preferred for repair in again].count(True) == 1


def test_adding_what_is_there_adds_nothing(patch, bench):
    again = proposals.change_operation(patch.damage, patch.operation, who=bench)
    assert (again.pk, again.version) == (patch.pk, patch.version)


def test_what_has_no_lay_up_has_none_to_change(patch, bench):
    repairs = proposals.propose(on_the_edge(patch.damage.job, 0.5, "burst"))
    with pytest.raises(ValueError, match="has no lay-up to change"):
        change(one(repairs, "bladder-replace-le"), bench, rows=3)


def test_saying_again_what_is_so_already_leaves_no_trace(patch, bench):
    def trail():
        return journal.entries(patch.damage.job).count()

    before = trail()
    assert proposals.back_to_proposed(patch, who=bench, version=patch.version).version == patch.version
    proposals.choose(patch, who=bench)
    assert trail() == before, "there is nothing to choose between"
    repairs = proposals.propose(on_the_edge(patch.damage.job, 0.5, "burst"))
    for _ in range(2):
        proposals.choose(one(repairs, "bladder-patch"), who=bench)
    before = trail()
    proposals.choose(one(repairs, "bladder-patch"), who=bench)
    assert trail() == before
    for _ in range(2):
        proposals.drop(patch, who=bench)
    assert trail() == before + 1


def test_a_seam_is_sewn_in_as_many_rows_as_somebody_wants(bench):
    stocked()
    opened = on_the_edge(a_job(), 0.4, "seam opened", mm=100, face="back", through_bladder="no")
    sewn = one(proposals.propose(opened), "closing-seam-resew")
    changed = change(sewn, bench, rows=3, plies_outside=1)
    assert (changed.layup["rows"], "plies_outside" in changed.layup) == (3, False)
    assert changed.layup["strength_n_per_m"] >= sewn.layup["strength_n_per_m"]


def test_tape_that_is_no_larger_than_the_tear_is_refused(bench):
    stocked()
    tape = one(proposals.propose(on_the_canopy(a_job(), 0.6, "tear", mm=90)), "canopy-tape")
    with pytest.raises(ValueError, match="The tape must be larger than the tear, at least"):
        change(tape, bench, outline_m=(0.05, 0.05))

"""What a page says of a claim: where the damage lies against a repair, and how old that repair is."""

import datetime

import pytest

from shoprepair.cover import claim_words
from shoprepair.cover.comparing import Met
from shoprepair.cover.meeting import Meeting
from shoprepair.cover.models import Cover

FAR = Meeting(relation="misses", distance_m=0.12)
BESIDE = Meeting(relation="borders", distance_m=0.008)
INSIDE = Meeting(relation="meets", distance_m=0.0, depth_m=0.04)
AT_THE_EDGE = Meeting(relation="meets", distance_m=0.0)
ALL_OF_IT = Meeting(relation="meets", distance_m=0.0, without_edge=True)
ELSEWHERE = Meeting(relation="misses", distance_m=0.3, same_surface=False)


@pytest.mark.parametrize(
    ("meeting", "relation", "figure", "of", "beside_the_cover"),
    [
        (FAR, "Misses it", "120 mm", "beside the footprint", "120 mm beside cover 00012"),
        (BESIDE, "Borders on it", "8 mm", "beside the footprint", "8 mm beside cover 00012"),
        (INSIDE, "Meets it", "40 mm", "inside the footprint", "40 mm inside cover 00012"),
        (AT_THE_EDGE, "Meets it", "0 mm", "at the edge of the footprint", "At the edge of cover 00012"),
        (ALL_OF_IT, "Meets it", "–", "within all that was repaired", "Within cover 00012"),
        (
            ELSEWHERE,
            "On another part",
            "–",
            "no distance: on another part of the gear",
            "On another part than cover 00012",
        ),
    ],
)
def test_where_a_damage_lies_is_said_with_its_figure(meeting, relation, figure, of, beside_the_cover, metric):
    met = Met(Cover(number=12), None, None, meeting, ())
    assert claim_words.relation(meeting) == relation
    assert claim_words.distance(meeting, metric) == figure
    assert claim_words.distance_of(meeting) == of
    assert claim_words.met_words(met, metric) == beside_the_cover


@pytest.mark.parametrize(
    ("days", "said"),
    [
        (-3, "0 days"),
        (1, "1 day"),
        (59, "59 days"),
        (60, "1 month"),
        (152, "4 months"),
        (153, "5 months"),
        (730, "23 months"),
        (731, "2 years"),
        (1096, "3 years"),
    ],
)
def test_an_age_is_rounded_down_as_people_say_it(days, said):
    since = datetime.date(2026, 3, 1)
    assert claim_words.age(since, since + datetime.timedelta(days=days)) == said

"""What the customers ride: wings and kites of every pattern in the library, and one that no library knows."""

from datetime import date, datetime, timedelta
from decimal import Decimal
from random import Random

from shoprepair.gear import library
from shoprepair.gear.models import Inflatable, Pattern
from shoprepair.jobs import checkin
from shoprepair.mechanics.description import Condition, Kind
from shoprepair.office.demo import clock, customers
from shoprepair.shop.models import Staff
from shoprepair.shop.units import Units, read_pressure

SOUND, FADED, BRITTLE = Condition.SOUND, Condition.FADED, Condition.BRITTLE
HISTORY = timedelta(days=5 * 365)
"""How far back the shop's records go."""
UNLABELLED = "Old 3.6 wing, no label"
NEW_PRICE = Decimal("640.00")
"""What its owner remembers to have paid."""

# Whose, which pattern, colour, years old, condition. Serials are made from these.
OWNED = (
    ("Ida Quist", "Holm 5.0 wing", "white and red", 2, SOUND),
    ("Bassey Okafor", "Skarv 9 kite", "navy and white", 3, SOUND),
    ("Lovise Haraldsen", "Lunde 4.2 wing", "amber", 2, SOUND),
    ("Priya Anandan", "Holm 5.0 wing", "sea green", 4, FADED),
    ("Sizwe Mbelo", "Teist 12 kite", "moss", 1, SOUND),
    ("Þórdís Eyvindardóttir Skerjafjall", "Rype 7.0 wing", "coral", 3, SOUND),
    ("Maximiliano Fernández-Echeverría de la Peña y Castroviejo", "Lomvi 17 kite", "white and red", 5, FADED),
    ("Wojciech Szczębrzeski", "Holm 4.0 wing", "grey and lime", 3, SOUND),
    ("سلمى بدر الساحلي", "Lunde 5.4 wing", "plum", 2, SOUND),
    ("ליאור בן־חוף", "Krykkje 10 kite", "sea green", 1, SOUND),
    ("Kaimana", "Havelle 14 kite", "amber", 6, FADED),
    ("Nguyễn Thị Sóng Biển", "Rype 6.0 wing", "coral", 2, SOUND),
    ("François-Xavier de Brétignolles-Lacôte", "Tjeld 6.5 kite", "navy and white", 3, SOUND),
    ("Åse Bjørkås", "Alke 3.2 wing", "moss", 4, SOUND),
    ("Zoë Vandermeulenbroucke", "Holm 4.0 wing", "white and red", 2, FADED),
    ("Zoë Vandermeulenbroucke", "Holm 4.0 wing", "sea green", 2, FADED),
    ("Zoë Vandermeulenbroucke", "Alke 3.2 wing", "amber", 2, SOUND),
    ("Zoë Vandermeulenbroucke", "Alke 2.5 wing", "coral", 1, SOUND),
    ("İlkay Denizoğlu", "Skarv 11 kite", "plum", 2, SOUND),
    ("Čeněk Příborský", "Teist 7 kite", "grey and lime", 4, SOUND),
    ("Αλκυόνη Θαλασσινού", "Tjeld 5 kite", "white and red", 3, SOUND),
    ("Мирослава Прибережная", "Lunde 4.2 wing", "navy and white", 1, SOUND),
    ("Tūī Ngaromoana", "Krykkje 10 kite", "amber", 4, FADED),
    ("Fionnuala O’Dwyre", "Lunde 5.4 wing", "moss", 3, SOUND),
    ("Jörg Wellenreuter", UNLABELLED, "", 9, BRITTLE),
    ("Anneliese Groß", "Alke 2.5 wing", "sea green", 2, SOUND),
    ("Siobhán Ní Chuanáin", "Teist 7 kite", "coral", 2, SOUND),
    ("Efua Mensah-Quay", "Rype 6.0 wing", "plum", 1, SOUND),
    ("Rurik", "Lomvi 17 kite", "navy and white", 7, FADED),
    ("Beatrix Lindqvist-Ramírez", "Skarv 9 kite", "amber", 2, SOUND),
    ("נעמה גלי־ים", "Holm 5.0 wing", "coral", 1, SOUND),
    ("عبد الرحمن بن يوسف النورسي", "Teist 12 kite", "sea green", 3, SOUND),
    ("Tomás Mareada", "Tjeld 6.5 kite", "moss", 2, SOUND),
    ("Ewan Stroudley", "Rype 7.0 wing", "grey and lime", 4, FADED),
    ("Leilani Kapewa", "Havelle 14 kite", "white and red", 2, SOUND),
    ("Ida Quist", "Holm 4.0 wing", "white and red", 4, FADED),
    ("Bassey Okafor", "Skarv 11 kite", "navy and white", 4, SOUND),
    ("Sizwe Mbelo", "Tjeld 5 kite", "moss", 5, FADED),
    ("Lovise Haraldsen", "Lunde 5.4 wing", "amber", 1, SOUND),
    ("Wojciech Szczębrzeski", "Krykkje 10 kite", "plum", 2, SOUND),
    ("Nguyễn Thị Sóng Biển", "Alke 3.2 wing", "coral", 3, SOUND),
    ("Fionnuala O’Dwyre", "Skarv 9 kite", "moss", 5, FADED),
    ("Čeněk Příborský", "Rype 6.0 wing", "grey and lime", 3, SOUND),
    ("İlkay Denizoğlu", "Teist 12 kite", "plum", 6, BRITTLE),
    ("Tūī Ngaromoana", "Lunde 4.2 wing", "amber", 3, SOUND),
    ("Efua Mensah-Quay", "Holm 5.0 wing", "plum", 2, SOUND),
)


def add_all(now: datetime, rng: Random, who: Staff) -> list[Inflatable]:
    """All of the above, each with its owner at the counter for the first time in the year it was bought.

    Some have no serial or no year, as it is in a shop.
    """
    patterns = {pattern.name: pattern for pattern in [*library.load(), _measured_at_the_counter()]}
    came = [_first_seen(now, now.year - age, rng) for _owner, _pattern, _colour, age, _condition in OWNED]
    added: dict[int, Inflatable] = {}
    # In the order of time, so that nobody becomes known after their gear did.
    for number in sorted(range(len(OWNED)), key=came.__getitem__):
        owner, pattern, colour, age, condition = OWNED[number]
        year = now.year - age
        with clock.at(came[number]):
            added[number] = checkin.add_inflatable(
                customers.known(owner, who),
                patterns[pattern],
                serial="" if number % 9 == 8 else _serial(patterns[pattern], number, year),
                colour=colour,
                bought_year=None if number % 7 == 6 else year,
                condition=condition.value,
                who=who,
            )
    return [added[number] for number in range(len(OWNED))]


def _first_seen(now: datetime, year: int, rng: Random) -> datetime:
    return max(clock.open_at(now - HISTORY), clock.during(date(year, rng.randrange(3, 11), 12), rng))


def _serial(pattern: Pattern, number: int, year: int) -> str:
    return f"{pattern.name[:2].upper()}{round(pattern.area_m2 * 10):03d}-{year % 100:02d}{4093 + 37 * number}"


def _measured_at_the_counter() -> Pattern:
    pressure = read_pressure("0.45 bar", Units())
    pattern = library.measured_here(
        kind=Kind.WING,
        support=Pattern.Support.HANDLES,
        span_m=2.94,
        diameter_centre_m=0.21,
        diameter_tip_m=0.11,
        rated_pressure_pa=pressure.value_si,
        rated_pressure_typed=pressure.text,
        struts=1,
        name=UNLABELLED,
    )
    pattern.new_price = NEW_PRICE
    pattern.save(update_fields=("new_price",))
    return pattern

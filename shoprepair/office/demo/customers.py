"""The customers of Northquay Loft. All invented; numbers and addresses belong to nobody."""

from shoprepair.jobs import checkin
from shoprepair.jobs.models import Customer
from shoprepair.shop.models import Staff

# Numbers from the ranges that regulators keep free for stories, addresses under example domains.
CUSTOMERS = (
    ("Ida Quist", "+44 7700 900 112", "ida.quist@example.org", ""),
    ("Bassey Okafor", "+44 7700 900 145", "", "Rides at the harbour mouth; call after four."),
    ("Lovise Haraldsen", "+44 7700 900 203", "lovise@example.net", ""),
    ("Priya Anandan", "+1 202 555 0134", "p.anandan@example.com", ""),
    ("Sizwe Mbelo", "+44 7700 900 377", "", ""),
    ("Þórdís Eyvindardóttir Skerjafjall", "+44 7700 900 418", "thordis@example.org", ""),
    (
        "Maximiliano Fernández-Echeverría de la Peña y Castroviejo",
        "+44 7700 900 509",
        "maximiliano.fernandez.echeverria@rather-long-name.example.com",
        "",
    ),
    ("Wojciech Szczębrzeski", "+44 7700 900 561", "wojtek@example.net", ""),
    ("سلمى بدر الساحلي", "+44 7700 900 626", "salma@example.org", ""),
    ("ליאור בן־חוף", "+44 7700 900 672", "lior@example.com", ""),
    ("Kaimana", "+1 202 555 0187", "", "Goes by one name."),
    ("Nguyễn Thị Sóng Biển", "+44 7700 900 731", "bien@example.org", ""),
    ("François-Xavier de Brétignolles-Lacôte", "+44 7700 900 780", "fx@example.net", ""),
    ("Åse Bjørkås", "+44 7700 900 802", "", ""),
    (
        "Zoë Vandermeulenbroucke",
        "+44 7700 900 839",
        "zoe@example.com",
        "Runs a school: four wings, always in a hurry.",
    ),
    ("İlkay Denizoğlu", "+44 7700 900 860", "ilkay@example.org", ""),
    ("Čeněk Příborský", "+44 7700 900 884", "cenek@example.net", ""),
    ("Αλκυόνη Θαλασσινού", "+44 7700 900 907", "alkyoni@example.org", ""),
    ("Мирослава Прибережная", "+44 7700 900 923", "mira@example.com", ""),
    ("Tūī Ngaromoana", "+44 7700 900 941", "", ""),
    ("Fionnuala O’Dwyre", "+44 7700 900 958", "fin@example.org", "Pays by invoice."),
    ("Jörg Wellenreuter", "+44 7700 900 966", "joerg@example.net", ""),
    ("Anneliese Groß", "+44 7700 900 974", "", ""),
    ("Siobhán Ní Chuanáin", "+44 7700 900 983", "siobhan@example.com", ""),
    ("Efua Mensah-Quay", "+1 202 555 0119", "efua@example.org", ""),
    ("Rurik", "", "rurik@example.net", "No telephone: write."),
    ("Beatrix Lindqvist-Ramírez", "+44 7700 900 027", "bea@example.com", ""),
    ("נעמה גלי־ים", "+44 7700 900 038", "naama@example.org", ""),
    ("عبد الرحمن بن يوسف النورسي", "+44 7700 900 049", "", ""),
    ("Tomás Mareada", "+44 7700 900 055", "tomas@example.net", ""),
    ("Ewan Stroudley", "+44 7700 900 064", "", ""),
    ("Leilani Kapewa", "+1 202 555 0158", "leilani@example.com", "Travels; may send somebody to fetch it."),
)


def known(name: str, who: Staff) -> Customer:
    """The customer of that name, added the first time they come in."""
    if customer := Customer.objects.filter(name=name).first():
        return customer
    phone, email, note = next(rest for called, *rest in CUSTOMERS if called == name)
    return checkin.add_customer(name, phone=phone, email=email, note=note, who=who)

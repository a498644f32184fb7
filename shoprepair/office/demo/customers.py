"""The customers of Northquay Loft. All invented; numbers and addresses belong to nobody."""

from shoprepair.jobs import checkin
from shoprepair.jobs.models import Customer
from shoprepair.shop.models import Staff

# Numbers from the ranges that regulators keep free for stories, addresses under a domain that never will be.
CUSTOMERS = (
    ("Ida Quist", "+44 7700 900 112", "ida.quist@post.example", ""),
    ("Bassey Okafor", "+44 7700 900 145", "", "Rides at the harbour mouth; call after four."),
    ("Lovise Haraldsen", "+44 7700 900 203", "lovise@mail.example", ""),
    ("Priya Anandan", "+1 202 555 0134", "p.anandan@letters.example", ""),
    ("Sizwe Mbelo", "+44 7700 900 377", "", ""),
    ("Þórdís Eyvindardóttir Skerjafjall", "+44 7700 900 418", "thordis@post.example", ""),
    (
        "Maximiliano Fernández-Echeverría de la Peña y Castroviejo",
        "+44 7700 900 509",
        "maximiliano.fernandez.echeverria@rather-long-name.example",
        "",
    ),
    ("Wojciech Szczębrzeski", "+44 7700 900 561", "wojtek@mail.example", ""),
    ("سلمى بدر الساحلي", "+44 7700 900 626", "salma@post.example", ""),
    ("ליאור בן־חוף", "+44 7700 900 672", "lior@letters.example", ""),
    ("Kaimana", "+1 202 555 0187", "", "Goes by one name."),
    ("Nguyễn Thị Sóng Biển", "+44 7700 900 731", "bien@post.example", ""),
    ("François-Xavier de Brétignolles-Lacôte", "+44 7700 900 780", "fx@mail.example", ""),
    ("Åse Bjørkås", "+44 7700 900 802", "", ""),
    (
        "Zoë Vandermeulenbroucke",
        "+44 7700 900 839",
        "zoe@letters.example",
        "Runs a school: four wings, always in a hurry.",
    ),
    ("İlkay Denizoğlu", "+44 7700 900 860", "ilkay@post.example", ""),
    ("Čeněk Příborský", "+44 7700 900 884", "cenek@mail.example", ""),
    ("Αλκυόνη Θαλασσινού", "+44 7700 900 907", "alkyoni@post.example", ""),
    ("Мирослава Прибережная", "+44 7700 900 923", "mira@letters.example", ""),
    ("Tūī Ngaromoana", "+44 7700 900 941", "", ""),
    ("Fionnuala O’Dwyre", "+44 7700 900 958", "fin@post.example", "Pays by invoice."),
    ("Jörg Wellenreuter", "+44 7700 900 966", "joerg@mail.example", ""),
    ("Anneliese Groß", "+44 7700 900 974", "", ""),
    ("Siobhán Ní Chuanáin", "+44 7700 900 983", "siobhan@letters.example", ""),
    ("Efua Mensah-Quay", "+1 202 555 0119", "efua@post.example", ""),
    ("Rurik", "", "rurik@mail.example", "No telephone: write."),
    ("Beatrix Lindqvist-Ramírez", "+44 7700 900 027", "bea@letters.example", ""),
    ("נעמה גלי־ים", "+44 7700 900 038", "naama@post.example", ""),
    ("عبد الرحمن بن يوسف النورسي", "+44 7700 900 049", "", ""),
    ("Tomás Mareada", "+44 7700 900 055", "tomas@mail.example", ""),
    ("Ewan Stroudley", "+44 7700 900 064", "", ""),
    (
        "Leilani Kapewa",
        "+1 202 555 0158",
        "leilani@letters.example",
        "Travels; may send somebody to fetch it.",
    ),
)


def known(name: str, who: Staff) -> Customer:
    """The customer of that name, added the first time they come in."""
    if customer := Customer.objects.filter(name=name).first():
        return customer
    phone, email, note = next(rest for called, *rest in CUSTOMERS if called == name)
    return checkin.add_customer(name, phone=phone, email=email, note=note, who=who)

"""A file that misses what PDF/UA-1 asks is found out: each is a good one, spoiled in one place."""

import re
from io import BytesIO

import pytest
from fontTools.ttLib import TTFont
from pypdf import PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    BooleanObject,
    DecodedStreamObject,
    DictionaryObject,
    NameObject,
    NumberObject,
    StreamObject,
    TextStringObject,
)
from weasyprint import HTML

from tests.papers.universal import JUDGED, failures
from tests.papers.universal.structure import kids

PAGE = """<html lang=en><title>A paper</title>
<h1>One</h1><h2>Two</h2><p>Words. <a href="https://shop.example/" title="The shop">The shop</a></p>
<ul><li>First</li></ul>
<table><thead><tr><th scope=col>Area</th></tr></thead><tbody><tr><td>5 m²</td></tr></tbody></table>
<svg role="img" viewBox="0 0 9 9"><title>A square</title><rect width="9" height="9"/></svg>
"""


@pytest.fixture(scope="module")
def good():
    return HTML(string=PAGE).write_pdf(pdf_variant="pdf/ua-1")


def named(**entries):
    return DictionaryObject({NameObject(f"/{name}"): value for name, value in entries.items()})


def stream(text, **entries):
    made = DecodedStreamObject()
    made.set_data(text.encode())
    made.update(named(**entries))
    return made


def elements(writer, *kinds):
    """Every element of the structure of these kinds."""
    waiting, found = [writer.root_object["/StructTreeRoot"]], []
    while waiting:
        held = [kid for kid in kids(waiting.pop()) if "/S" in kid]
        found += [kid for kid in held if kid["/S"][1:] in kinds]
        waiting += held
    return found


def renamed(before, after):
    def spoil(writer):
        elements(writer, before)[0][NameObject("/S")] = NameObject(f"/{after}")

    return spoil


def without(*path):
    """Take away what the path leads to from the catalogue."""

    def spoil(writer):
        holder = writer.root_object
        for name in path[:-1]:
            holder = holder[name]
        del holder[path[-1]]

    return spoil


def root(**entries):
    def spoil(writer):
        writer.root_object.update(named(**entries))

    return spoil


def roles(**meant):
    return lambda writer: writer.root_object["/StructTreeRoot"].update(
        named(RoleMap=named(**{name: NameObject(f"/{kind}") for name, kind in meant.items()}))
    )


def metadata(before, after):
    def spoil(writer):
        told = writer.root_object["/Metadata"].get_data().decode().replace(before, after)
        writer.root_object[NameObject("/Metadata")] = stream(told)

    return spoil


def painted(before, after):
    """Write the content of the page otherwise."""

    def spoil(writer):
        page = writer.pages[0]
        page[NameObject("/Contents")] = stream(
            page.get_contents().get_data().decode("latin-1").replace(before, after, 1)
        )

    return spoil


def annotation(**entries):
    """Of the link."""

    def spoil(writer):
        link = writer.pages[0]["/Annots"][0].get_object()
        for name, value in entries.items():
            if value is None:
                del link[f"/{name}"]
            else:
                link[NameObject(f"/{name}")] = value

    return spoil


def page(**entries):
    def spoil(writer):
        for name, value in entries.items():
            writer.pages[0].pop(NameObject(f"/{name}"))
            if value is not None:
                writer.pages[0][NameObject(f"/{name}")] = value

    return spoil


def font(change):
    def spoil(writer):
        first = next(iter(writer.pages[0]["/Resources"]["/Font"].values())).get_object()
        change(first, first["/DescendantFonts"][0].get_object())

    return spoil


def meaning(pattern, after):
    def change(first, below):
        written = first["/ToUnicode"].get_data().decode()
        first[NameObject("/ToUnicode")] = stream(re.sub(pattern, after, written, count=1, flags=re.DOTALL))

    return font(change)


def below(**entries):
    def change(first, below):
        below.update(named(**entries))

    return font(change)


def table(text="", **entries):
    return font(lambda first, below: first.update(named(Encoding=stream(text, **entries))))


def part_drawn(times, text="", **entries):
    """A part that is drawn so often, as decoration."""

    def spoil(writer):
        part = stream(text, Type=NameObject("/XObject"), Subtype=NameObject("/Form"), **entries)
        writer.pages[0]["/Resources"].update(named(XObject=named(part=writer._add_object(part))))
        content = writer.pages[0].get_contents().get_data().decode("latin-1")
        drawn = "/Artifact BMC " + "/part Do " * times + "EMC\n"
        writer.pages[0][NameObject("/Contents")] = stream(content + drawn)

    return spoil


def simple(kind, flags=4, **entries):
    """The first font turned into one of few letters."""

    def change(first, below):
        told = below["/FontDescriptor"]
        told[NameObject("/Flags")] = NumberObject(flags)
        first.update(named(Subtype=NameObject(kind), FontDescriptor=told, **entries))
        for gone in {"/Encoding", "/ToUnicode"} - {f"/{name}" for name in entries}:
            first.pop(gone, None)

    return font(change)


def letters_by(*tables, flags=32, **entries):
    """The same, whose program finds its letters by these tables alone."""
    turn = simple("/TrueType", flags, **entries)

    def spoil(writer):
        turn(writer)
        first = next(iter(writer.pages[0]["/Resources"]["/Font"].values())).get_object()
        told = first["/FontDescriptor"]
        letters = TTFont(BytesIO(told["/FontFile2"].get_data()))
        kept = [each for each in letters["cmap"].tables if (each.platformID, each.platEncID) in tables]
        letters["cmap"].tables = kept
        if not kept:
            del letters["cmap"]
        letters.save(into := BytesIO())
        lying = DecodedStreamObject()
        lying.set_data(into.getvalue())
        told[NameObject("/FontFile2")] = lying

    return spoil


def lifted(writer):
    """Streams are told by their number, as a file has them."""
    waiting = [each for each in writer._objects if each is not None]
    while waiting:
        holder = waiting.pop()
        pairs = (
            holder.items()
            if isinstance(holder, dict)
            else enumerate(holder)
            if isinstance(holder, list)
            else ()
        )
        for key, value in list(pairs):
            if isinstance(value, StreamObject):
                holder[key] = writer._add_object(value)
            if isinstance(value, dict | list):
                waiting.append(value)


def encoded(**entries):
    return named(
        **{name: NameObject(value) if isinstance(value, str) else value for name, value in entries.items()}
    )


NAMED = ArrayObject([NumberObject(1), NameObject("/nobodyknows")])
LAYERS = named(Name=TextStringObject(""), AS=ArrayObject())
SPOILED = {
    "01-003": painted("BDC", "BDC /Artifact BMC EMC"),
    "01-004": painted("", "/Artifact BMC /P <</MCID 0>> BDC EMC EMC\n"),
    "01-005": without("/StructTreeRoot", "/ParentTree"),
    "01-007": root(MarkInfo=named(Marked=BooleanObject(True), Suspects=BooleanObject(True))),
    "02-001": renamed("P", "Paragraph"),
    "02-003": roles(Round="About", About="Round"),
    "02-004": roles(P="Span"),
    "06-001": without("/Metadata"),
    "06-002": metadata("pdfuaid:part", "pdfuaid:whole"),
    "06-003": metadata("dc:title", "dc:name"),
    "07-001": without("/ViewerPreferences"),
    "07-002": root(ViewerPreferences=named(DisplayDocTitle=BooleanObject(False))),
    "09-004": renamed("TR", "P"),
    "09-005": renamed("LI", "P"),
    "09-006": renamed("P", "TOCI"),
    "09-007": renamed("P", "RT"),
    "09-008": renamed("P", "WT"),
    "10-001": meaning("beginbfchar.*", ""),
    "11-006": without("/Lang"),
    "11-001": without("/Lang"),
    "11-002": without("/Lang"),
    "11-003": without("/Lang"),
    "11-004": without("/Lang"),
    "13-004": renamed("P", "Figure"),
    "14-002": renamed("H1", "H2"),
    "14-003": renamed("H2", "H3"),
    "14-006": lambda writer: [
        each.update(named(S=NameObject("/H"))) for each in elements(writer, "H1", "H2")
    ],
    "14-007": renamed("H2", "H"),
    "15-003": lambda writer: [each.pop("/A") for each in elements(writer, "TH", "TD")],
    "17-002": renamed("P", "Formula"),
    "17-003": meaning("beginbfchar.*", ""),
    "19-003": renamed("P", "Note"),
    "19-004": lambda writer: [
        each.update(named(S=NameObject("/Note"), ID=TextStringObject("n")))
        for each in elements(writer, "P", "H2")
    ],
    "20-001": root(OCProperties=named(Configs=ArrayObject([LAYERS]))),
    "20-002": root(OCProperties=named(D=LAYERS)),
    "20-003": root(OCProperties=named(D=LAYERS)),
    "21-001": root(
        Names=named(
            EmbeddedFiles=named(Names=ArrayObject([TextStringObject("a"), named(F=TextStringObject("a"))]))
        )
    ),
    "25-001": root(AcroForm=named(XFA=stream("<dynamicRender>required</dynamicRender>"))),
    "28-002": annotation(Subtype=NameObject("/Text")),
    "28-004": annotation(Subtype=NameObject("/Text"), Contents=None),
    "28-005": annotation(Subtype=NameObject("/Widget")),
    "28-006": annotation(Subtype=NameObject("/Balloon")),
    "28-007": annotation(Subtype=NameObject("/TrapNet")),
    "28-008": page(Tabs=None),
    "28-009": page(Tabs=NameObject("/R")),
    "28-010": annotation(Subtype=NameObject("/Widget")),
    "28-011": renamed("Link", "Span"),
    "28-012": annotation(Contents=None),
    "28-014": annotation(A=named(R=named(C=named()))),
    "28-015": annotation(A=named(R=named(C=named()))),
    "28-016": annotation(Subtype=NameObject("/FileAttachment"), FS=named(F=TextStringObject("a"))),
    "28-017": annotation(Subtype=NameObject("/PrinterMark")),
    "28-018": annotation(Subtype=NameObject("/PrinterMark"), AP=named(N=stream("0 0 9 9 re f"))),
    "30-001": part_drawn(1, Ref=named()),
    "30-002": part_drawn(2, "/P <</MCID 0>> BDC EMC"),
    "31-001": table(CIDSystemInfo=named(Registry=TextStringObject("Other"))),
    "31-002": table(CIDSystemInfo=named(Ordering=TextStringObject("Other"))),
    "31-003": table(CIDSystemInfo=named(Supplement=NumberObject(9))),
    "31-004": below(CIDToGIDMap=NameObject("/Other")),
    "31-005": font(lambda first, below: below.pop("/CIDToGIDMap")),
    "31-006": font(lambda first, below: first.update(named(Encoding=NameObject("/Nobodys-H")))),
    "31-007": table("/WMode 1 def"),
    "31-008": table("/Nobodys-H usecmap"),
    "31-009": font(lambda first, below: below["/FontDescriptor"].pop("/FontFile2")),
    "31-011": below(CIDToGIDMap=stream("\x7f" * 60_000)),
    "31-014": font(lambda first, below: below["/FontDescriptor"].update(named(CIDSet=stream("\x01")))),
    "31-015": font(lambda first, below: below["/FontDescriptor"].update(named(CIDSet=stream("\x7f" * 9000)))),
    "31-016": below(W=ArrayObject(), DW=NumberObject(7)),
    "31-017": letters_by((0, 3), Encoding=NameObject("/WinAnsiEncoding")),
    "31-018": simple("/TrueType", 32, Encoding=NameObject("/WinAnsiEncoding")),
    "31-019": simple("/TrueType", 32),
    "31-020": simple("/TrueType", 32, Encoding=encoded(Differences=NAMED)),
    "31-021": simple("/TrueType", 32, Encoding=NameObject("/StandardEncoding")),
    "31-022": simple("/TrueType", 32, Encoding=encoded(BaseEncoding="/WinAnsiEncoding", Differences=NAMED)),
    "31-023": letters_by((0, 3), Encoding=encoded(BaseEncoding="/WinAnsiEncoding", Differences=NAMED)),
    "31-024": simple("/TrueType", 4, Encoding=NameObject("/WinAnsiEncoding")),
    "31-025": letters_by(flags=4),
    "31-026": simple("/TrueType", 4),
    "31-027": font(lambda first, below: first.pop("/ToUnicode")),
    "31-028": meaning(r"(beginbfchar\s*<\w+>) <\w+>", r"\1 <0000>"),
    "31-029": meaning(r"(beginbfchar\s*<\w+>) <\w+>", r"\1 <FEFF>"),
    "31-030": below(CIDToGIDMap=stream("\x00" * 60_000)),
}
UNSPOILED = {
    "11-005": "A field, which no paper has, would have to be made with its whole form.",
    "26-001": "A library that writes what may be done with an encrypted file always writes it.",
    "26-002": "The reader is handed the file as it is; none of ours is encrypted.",
    "31-012": "No font of this old kind lies here.",
    "31-013": "No font of this old kind lies here.",
}
"""What is judged and not tried here, each with the reason."""


def test_a_good_file_has_nothing_against_it(good):
    assert failures(good) == []


@pytest.mark.parametrize("number", sorted(SPOILED))
def test_what_is_spoiled_is_found_out_by_its_number(good, number):
    writer = PdfWriter(clone_from=PdfReader(BytesIO(good)))
    SPOILED[number](writer)
    lifted(writer)
    writer.write(into := BytesIO())

    assert number in {failure[:6] for failure in failures(into.getvalue())}


def test_every_condition_that_a_program_can_judge_is_tried_or_named_with_the_reason():
    assert set(SPOILED) | set(UNSPOILED) == JUDGED
    assert not set(SPOILED) & set(UNSPOILED)

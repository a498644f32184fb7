"""Of the file as a whole: metadata, title, language, layers, files inside, forms, encryption."""

from collections.abc import Iterator
from typing import Any

from pypdf import PdfReader

MAY_BE_READ_ALOUD = 1 << 9
"""The tenth bit of what an encrypted file allows."""


def failures(reader: PdfReader) -> Iterator[str]:
    """Each condition of the file as a whole that it meets."""
    root: Any = reader.trailer["/Root"]
    yield from _metadata(root)
    yield from _language(root, reader)
    if _says_yes(root.get("/MarkInfo", {}).get("/Suspects")):
        yield "01-007: tags under suspicion"
    if not _says_yes(root.get("/MarkInfo", {}).get("/Marked")):
        yield "01-005: not marked as tagged"
    yield from _layers(root.get("/OCProperties", {}))
    for name, held in _embedded(root.get("/Names", {}).get("/EmbeddedFiles", {})):
        if not {"/F", "/UF"} <= set(held):
            yield f"21-001: the file {name} inside has no name for all systems"
    form = root.get("/AcroForm", {}).get("/XFA")
    if form is not None and b"<dynamicRender>required" in _whole(form):
        yield "25-001: a form that is laid out by a program"
    yield from _encryption(reader)


def _says_yes(told: Any) -> bool:
    return bool(getattr(told, "value", told))


def _metadata(root: Any) -> Iterator[str]:
    if "/Metadata" not in root:
        yield "06-001: no metadata"
        return
    told = root["/Metadata"].get_data().decode()
    if "pdfuaid:part" not in told:
        yield "06-002: the metadata name no PDF/UA"
    if "dc:title" not in told:
        yield "06-003: no title"
    shown = root.get("/ViewerPreferences", {})
    if "/DisplayDocTitle" not in shown:
        yield "07-001: nothing said of whether the title is shown"
    elif not _says_yes(shown["/DisplayDocTitle"]):
        yield "07-002: the title is not shown"


def _language(root: Any, reader: PdfReader) -> Iterator[str]:
    """One language for the file answers for all that is in it."""
    if str(root.get("/Lang", "")).strip():
        return
    yield "11-006: no language of the metadata"
    parts = (child.get_object() for child in root.get("/StructTreeRoot", {}).get("/K", []))
    if not all("/Lang" in part for part in parts):
        yield "11-001: no language of what stands on the pages"
        yield "11-002: no language of what pictures show"
    if reader.outline:
        yield "11-003: no language of the outline"
    if any("/Annots" in page for page in reader.pages):
        yield "11-004: no language of annotations"
    if root.get("/AcroForm", {}).get("/Fields"):
        yield "11-005: no language of fields"


def _layers(layers: Any) -> Iterator[str]:
    usual = [layers["/D"].get_object()] if "/D" in layers else []
    others = [each.get_object() for each in layers.get("/Configs", [])]
    for number, kinds in (("20-002", usual), ("20-001", others)):
        if any(not kind.get("/Name") for kind in kinds):
            yield f"{number}: layers without a name"
    if any("/AS" in kind for kind in (*usual, *others)):
        yield "20-003: layers that come and go by themselves"


def _embedded(tree: Any) -> Iterator[tuple[str, Any]]:
    names = tree.get("/Names", [])
    yield from ((str(names[at]), names[at + 1].get_object()) for at in range(0, len(names), 2))
    for kid in tree.get("/Kids", []):
        yield from _embedded(kid.get_object())


def _whole(form: Any) -> bytes:
    form = form.get_object()
    parts = form[1::2] if isinstance(form, list) else [form]
    return b"".join(part.get_object().get_data() for part in parts)


def _encryption(reader: PdfReader) -> Iterator[str]:
    lock = reader.trailer.get("/Encrypt")
    if lock is None:
        return
    allowed = lock.get_object().get("/P")
    if allowed is None:
        yield "26-001: encrypted, and nothing said of what is allowed"
    elif not int(allowed) & MAY_BE_READ_ALOUD:
        yield "26-002: encrypted, and not allowed to be read aloud"

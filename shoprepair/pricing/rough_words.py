"""The catalogue's operations in the words of somebody who has never seen a bench."""

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

OPENING = _("open the tube and draw the bladder")
_PATCH = _("sew a patch on the tube, inside and outside")
_TAPE = _("tape both sides of the cloth")
_SEWN = _("sew a patch on the cloth")
_NEW_PANEL = _("sew in a new panel")
_NEW_BLADDER = _("fit a new bladder")
_OLD_PATCH = _("take the old patch off")
_STITCHING = _("sew the stitching anew")
_VALVE = _("fit a new valve")
_HOSE = _("fit the hose anew")
_EDGE = _("sew the back edge anew")

WORDS: dict[str, Promise] = {
    "casing-patch-small": _PATCH,
    "casing-patch": _PATCH,
    "casing-panel": _("sew a new stretch of casing in"),
    "casing-scuff-ply": _("sew one more layer over the scrape"),
    "le-burst-rebuild": _("rebuild the burst tube"),
    "strut-burst-rebuild": _("rebuild the burst tube"),
    "closing-seam-resew": _("sew the seam anew"),
    "segment-seam-resew": _("sew the seam anew"),
    "canopy-seam-resew": _("sew the seam anew"),
    "bladder-patch": _("patch the bladder"),
    "bladder-replace-le": _NEW_BLADDER,
    "bladder-replace-strut": _NEW_BLADDER,
    "valve-reseal": _("seal the valve anew"),
    "valve-replace": _VALVE,
    "dump-valve-replace": _VALVE,
    "hose-replace": _HOSE,
    "hose-refit": _HOSE,
    "canopy-tape": _TAPE,
    "canopy-patch-sewn": _SEWN,
    "canopy-panel": _NEW_PANEL,
    "stretch-patch-peel": _OLD_PATCH,
    "stretch-patch-cut-out": _OLD_PATCH,
    "window-tape": _("tape the window"),
    "window-replace": _("sew in a new window"),
    "trailing-edge-resew": _EDGE,
    "trailing-edge-rebuild": _EDGE,
    "strut-joint-resew": _STITCHING,
    "strut-end-rebuild": _STITCHING,
    "handle-resew": _STITCHING,
    "handle-replace": _("sew on a new handle"),
    "bridle-point-resew": _STITCHING,
    "bridle-point-rebuild": _STITCHING,
    "wash-and-dry": _("rinse and dry it"),
    "full-check": _("look over all of it"),
    "mirror-place-check": _("look at the same place on the other side"),
}
"""Code of an operation to what is done. One that the owner has added goes by its own name."""

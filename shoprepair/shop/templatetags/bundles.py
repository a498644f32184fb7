"""Many files asked for as one: `{% styles %}base parts{% endstyles %}`, `{% scripts %}…{% endscripts %}`."""

from django import template
from django.template.base import NodeList, Parser, Token
from django.template.context import Context
from django.utils.html import format_html
from django.utils.safestring import SafeString

from shoprepair.shop import bundles, spoken

register = template.Library()
ELEMENTS = {
    "css": '<link rel="stylesheet" href="{}">',
    "js": '<script src="{}" defer></script>',
}


class BundleNode(template.Node):
    """Names of files between two tags; blocks among them let a page add its own."""

    def __init__(self, kind: str, names: NodeList) -> None:
        self.kind = kind
        self.nodelist = names

    def render(self, context: Context) -> SafeString:
        """One element for all of them; none where there are no names."""
        names = tuple(dict.fromkeys(self.nodelist.render(context).split()))
        if self.kind == "js":
            names = spoken.with_words(names, bundles.singles("js", names))
        return format_html(ELEMENTS[self.kind], bundles.address(self.kind, names)) if names else SafeString()


@register.tag
def styles(parser: Parser, _token: Token) -> BundleNode:
    """The style sheets of `static/css` with these names, in this order."""
    return _until(parser, "endstyles", "css")


@register.tag
def scripts(parser: Parser, _token: Token) -> BundleNode:
    """The programs of `static/js` with these names, in this order, run once the page is there."""
    return _until(parser, "endscripts", "js")


def _until(parser: Parser, end: str, kind: str) -> BundleNode:
    names = parser.parse((end,))
    parser.delete_first_token()
    return BundleNode(kind, names)

"""The contact sheet shows each picture small, leads to it whole, and says what could not be taken."""

import re

from PIL import Image

from tests.pictures import sheet
from tests.pictures.taking import Picture, Wish, slug

RACK = [Picture("rack", "many", "phone"), Picture("rack", "wrong", "phone"), Picture("job", "many", "phone")]


def test_every_picture_is_on_the_sheet_and_leads_to_the_whole_of_it(tmp_path):
    for one in RACK:
        (tmp_path / one.name).parent.mkdir(exist_ok=True)
        Image.new("RGB", (390, 4000), "#fffdf8").save(tmp_path / one.name)
    page = sheet.write(tmp_path, RACK, ["quote, wrong: <no such form>"]).read_text()

    assert set(re.findall(r'<a href="([^"#]+)"', page)) == {one.name for one in RACK}
    assert all((tmp_path / small).exists() for small in re.findall(r'src="([^"]+)"', page))
    assert "quote, wrong: &lt;no such form&gt;" in page
    assert "<script" not in page
    with Image.open(tmp_path / "mosaic" / "many-phone.png") as mosaic:
        assert mosaic.width == 2 * (sheet.BOX[0] + 8)


def test_a_screen_is_chosen_by_its_name_or_what_that_begins_with():
    wish = Wish(only=("quote",), states=("many",))

    assert wish.has("quote", "many")
    assert wish.has("quote-send", "many")
    assert not wish.has("quotes-waiting", "many")
    assert not wish.has("quote", "wrong")


def test_an_address_that_is_no_name_of_a_file_becomes_one():
    assert slug("c/<path:rest>") == "c-path-rest"

import pytest

from shoprepair.papers.answer import disposition, pdf_response


@pytest.mark.parametrize(
    ("name", "header"),
    [
        ("work-order-0412.pdf", 'inline; filename="work-order-0412.pdf"'),
        ("work-order-0412", 'inline; filename="work-order-0412.pdf"'),
        ('a"b.pdf', 'inline; filename="a-b.pdf"'),
        ("a\r\nSet-Cookie: x=1.pdf", 'inline; filename="a Set-Cookie- x=1.pdf"'),
        ("../../etc/passwd", 'inline; filename="etc-passwd.pdf"'),
        ("a\x00b\u202efdp.exe", 'inline; filename="a b fdp.exe.pdf"'),
        ("", 'inline; filename="paper.pdf"'),
        ("Größe.pdf", "inline; filename=\"Groe.pdf\"; filename*=UTF-8''Gr%C3%B6%C3%9Fe.pdf"),
        ("جناح.pdf", "inline; filename=\"paper.pdf\"; filename*=UTF-8''%D8%AC%D9%86%D8%A7%D8%AD.pdf"),
    ],
)
def test_the_name_of_a_file_is_safe_for_headers_folders_and_eyes(name, header):
    # RFC 6266 with RFC 8187 for the true name.
    assert disposition(name) == header


def test_an_endless_name_is_cut():
    assert len(disposition("x" * 5000)) < 200


def test_a_pdf_is_shown_and_can_do_nothing():
    answer = pdf_response(b"%PDF-1.7", "bag-tag-0412.pdf")

    assert answer.content == b"%PDF-1.7"
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Content-Security-Policy"].split("; ") == [
        "sandbox",
        "default-src 'none'",
        "frame-ancestors 'none'",
    ]
    assert answer.headers["Cache-Control"] == "private, no-store"

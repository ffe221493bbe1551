# SPDX-License-Identifier: GPL-2.0-or-later
"""A drawing is parsed strictly or refused plainly, measured in mm, and written whole or not."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from extension.language.errors import DrawingError
from extension.svg import document as document_module
from extension.svg.document import MAX_DEPTH, MAX_ELEMENTS, parse, serialise, write_atomically
from extension.svg.transforms import apply, multiply
from tests.helpers.svg_builder import SvgBuilder

SVG = b'xmlns="http://www.w3.org/2000/svg"'
EMPTY = b"<svg " + SVG + b' width="10mm" height="10mm"/>'


def canonical(data: bytes) -> bytes:
    """Return XML in its canonical form, comments and instructions included."""
    return etree.tostring(etree.ElementTree(etree.fromstring(data)), method="c14n")


def refusal(source: bytes | Path) -> str:
    with pytest.raises(DrawingError) as error:
        parse(source)
    return str(error.value)


# What is refused, each in one sentence.


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is empty"),
        (b" \n ", "is empty"),
        (b"hello", "damaged"),
        (b"\x00\x01\x02\xff", "damaged"),
        (b"<svg " + SVG + b' width="10mm"', "damaged"),
        (b"<svg " + SVG + b"><g></svg>", "damaged or not SVG at line 1"),
        (b"<svg " + SVG + b">\n\n<g a=1/></svg>", "at line 3"),
        (EMPTY + EMPTY, "damaged"),
        (EMPTY[:-2] + b"><path", "damaged"),
        (b"<html/>", "not an SVG drawing"),
        (b"<svg width='10mm'/>", "not an SVG drawing"),
        (b"\x1f\x8b\x08whatever", "compressed"),
        ("<svg>é</svg>".encode("latin-1"), "damaged"),
    ],
)
def test_a_file_that_is_no_whole_drawing_is_refused_in_one_sentence(
    data: bytes, words: str
) -> None:
    sentence = refusal(data)
    assert words in sentence
    assert "\n" not in sentence
    assert sentence.endswith(".")


def test_a_file_cut_off_anywhere_is_refused() -> None:
    drawing = SvgBuilder()
    drawing.add_path("M 0 0 L 1 1", label="Ärmel")
    data = drawing.data()
    for length in range(1, len(data)):
        refusal(data[:length])
    parse(data)


def bomb(use: bytes) -> bytes:
    """Return a drawing whose entities would grow to 10^12 letters if one expanded them."""
    entities = b'<!ENTITY a "aaaaaaaaaa">'
    for index in range(1, 12):
        entities += b'<!ENTITY %c "%b">' % (97 + index, b"&%c;" % (96 + index) * 10)
    return b"<!DOCTYPE svg [" + entities + b"]>" + use


@pytest.mark.parametrize(
    "data",
    [
        bomb(b"<svg " + SVG + b"><text>&l;</text></svg>"),
        bomb(b"<svg " + SVG + b' id="&l;"/>'),
        bomb(EMPTY),
        b'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]><svg ' + SVG + b">&x;</svg>",
        b'<!DOCTYPE svg [<!ENTITY a "&b;"><!ENTITY b "&a;">]><svg ' + SVG + b' id="&a;"/>',
    ],
)
def test_entities_are_refused_and_never_expanded(data: bytes) -> None:
    assert "entities" in refusal(data)


def test_nothing_is_read_from_another_file(tmp_path: Path) -> None:
    # Were the other file read, the sentence would be about its damage.
    (tmp_path / "other").write_bytes(b"<broken")
    doctype = b'<!DOCTYPE svg [<!ENTITY x SYSTEM "%b">]>' % (tmp_path / "other").as_uri().encode()
    assert "entities" in refusal(doctype + b"<svg " + SVG + b">&x;</svg>")


def test_a_plain_doctype_is_no_harm() -> None:
    doctype = b'<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://example.invalid/svg11.dtd">'
    assert doctype in serialise(parse(doctype + EMPTY))


def nested(depth: int) -> bytes:
    return b"<svg " + SVG + b">" + b"<g>" * depth + b"</g>" * depth + b"</svg>"


def test_limits_hold_on_both_sides() -> None:
    parse(nested(MAX_DEPTH - 1))
    for depth in (MAX_DEPTH, 300, 5000):
        assert str(MAX_DEPTH) in refusal(nested(depth))
    many = b"<svg " + SVG + b">" + b"<g/>" * (MAX_ELEMENTS - 1)
    parse(many + b"</svg>")
    for more in (1, 300_000):
        assert f"{MAX_ELEMENTS:,}" in refusal(many + b"<g/>" * more + b"</svg>")


def test_what_clip_paths_hold_is_no_object_of_the_drawing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pages of a PDF with a clip for everything drawn were too many, and none of it is drawn."""
    monkeypatch.setattr("extension.svg.document.MAX_ELEMENTS", 200)
    monkeypatch.setattr("extension.svg.document.MAX_CLIPPING", 800)
    start, clip = b"<svg " + SVG + b">", b"<clipPath><path d='M0 0H9V9Z'/></clipPath>"
    many = start + (b"<g/>" + clip) * 199
    parse(many + b"</svg>")
    assert "more than 200 objects" in refusal(many + b"<g/></svg>")
    parse(start + clip * 400 + b"</svg>")
    assert "more than 200 objects" in refusal(start + clip * 401 + b"</svg>")


def test_a_file_too_large_is_refused_before_it_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(document_module, "MAX_BYTES", 1_000_000)
    path = tmp_path / "large.svg"
    path.write_bytes(b" " * 1_000_001)
    assert "“large.svg” is larger than 1 MB" in refusal(path)
    path.write_bytes(EMPTY.ljust(1_000_000))
    parse(path)


def test_a_huge_embedded_picture_is_named_as_the_likely_cause() -> None:
    picture = b'<image href="data:image/png;base64,' + b"A" * 10_500_000 + b'"/>'
    assert "embedded picture" in refusal(b"<svg " + SVG + b">" + picture + b"</svg>")


def test_missing_files_and_folders_are_named(tmp_path: Path) -> None:
    assert "“nowhere.svg”" in refusal(tmp_path / "nowhere.svg")
    assert "it is a folder" in refusal(tmp_path)
    (tmp_path / "file").write_bytes(b"")
    assert "a file, not a folder" in refusal(tmp_path / "file" / "in.svg")


# The page.


@pytest.mark.parametrize(
    ("width", "height", "view_box", "preserve", "corner"),
    # Where the user units' (100, 50) lies on the page, mm. What is said of missing sizes is how
    # the editor (1.2.2) shows such files.
    [
        ("200mm", "100mm", (0, 0, 200, 100), None, (100, 50)),
        ("20cm", "10cm", (0, 0, 400, 200), None, (50, 25)),
        ("10in", "5in", (0, 0, 10, 5), None, (2540, 1270)),
        ("720pt", "360pt", (0, 0, 10, 5), None, (2540, 1270)),
        ("60pc", "30pc", (0, 0, 10, 5), None, (2540, 1270)),
        ("960px", "480px", (0, 0, 10, 5), None, (2540, 1270)),
        ("960", "480", (0, 0, 960, 480), None, (100 * 25.4 / 96, 50 * 25.4 / 96)),
        ("960", "480", None, None, (100 * 25.4 / 96, 50 * 25.4 / 96)),
        ("100mm", "100mm", None, None, (100 * 25.4 / 96, 50 * 25.4 / 96)),
        (None, None, None, None, (100 * 25.4 / 96, 50 * 25.4 / 96)),
        (None, None, (0, 0, 200, 100), None, (100 * 25.4 / 96, 50 * 25.4 / 96)),
        ("100%", "100%", (0, 0, 200, 100), None, (100 * 25.4 / 96, 50 * 25.4 / 96)),
        ("50%", "50%", (0, 0, 200, 100), None, (50 * 25.4 / 96, 25 * 25.4 / 96)),
        ("200mm", "100mm", (-100, -50, 200, 100), None, (200, 100)),
        ("100mm", "100mm", (0, 0, 200, 100), None, (50, 50)),
        ("100mm", "100mm", (0, 0, 200, 100), "xMinYMin meet", (50, 25)),
        ("100mm", "100mm", (0, 0, 200, 100), "none", (50, 50)),
        ("100mm", "100mm", (0, 0, 200, 100), "xMaxYMin slice", (0, 50)),
        ("50mm", None, (0, 0, 200, 100), "xMinYMin", (25, 12.5)),
        (None, "500mm", (0, 0, 200, 100), "xMinYMin", (100 * 25.4 / 96, 50 * 25.4 / 96)),
    ],
)
def test_user_units_lie_on_the_page_in_mm(
    width: str | None,
    height: str | None,
    view_box: tuple[float, float, float, float] | None,
    preserve: str | None,
    corner: tuple[float, float],
) -> None:
    page = SvgBuilder(width, height, view_box, preserve).document()
    assert apply(page.page, (100, 50)) == pytest.approx(corner, abs=1e-9)
    assert apply(page.from_page, corner) == pytest.approx((100, 50), abs=1e-9)


@given(st.floats(0.1, 9999), st.floats(0.1, 9999), st.floats(0.1, 9999), st.floats(0.1, 9999))
def test_the_page_matrix_has_its_inverse(w: float, h: float, across: float, down: float) -> None:
    page = SvgBuilder(f"{w!r}mm", f"{h!r}mm", (1, 2, across, down), "none").document()
    both = multiply(page.page, page.from_page)
    assert [n for row in both for n in row] == pytest.approx([1, 0, 0, 0, 1, 0], abs=1e-8)
    assert apply(page.page, (1 + across, 2 + down)) == pytest.approx((w, h))


@pytest.mark.parametrize(
    ("width", "view_box"),
    [
        ("-5mm", (0, 0, 2, 1)),
        ("0", (0, 0, 2, 1)),
        ("wide", None),
        ("5yd", None),
        ("2em", None),
        ("5mm", (0, 0, 0, 1)),
        ("5mm", (0, 0, 2, -1)),
        ("1e300mm", None),
        ("nan", None),
    ],
)
def test_a_page_without_usable_size_is_refused(
    width: str, view_box: tuple[float, float, float, float] | None
) -> None:
    assert "no usable size" in refusal(SvgBuilder(width, "10mm", view_box).data())


def test_a_transform_of_the_whole_drawing_is_refused() -> None:
    # The editor ignores it and browsers do not: nothing says where the pieces lie.
    drawing = SvgBuilder()
    drawing.root.set("transform", "scale(2)")
    assert "outermost" in refusal(drawing.data())


# Writing.


def test_what_is_not_ours_is_kept() -> None:
    data = (
        b'<?xml version="1.0" encoding="UTF-8" standalone="no"?>\n<!-- before -->\n<?note x?>'
        b"<svg " + SVG + b' xmlns:other="urn:other:1" width="1mm" height="1mm" other:a="b">'
        b"<!-- inside --><?go on?><other:thing>&lt;&#233;</other:thing><metadata/></svg>"
        b"<!-- after -->"
    )
    written = serialise(parse(data))
    for part in (b"standalone='no'", b"<!-- before -->", b"<?note x?>", b"<!-- after -->"):
        assert part in written
    assert canonical(written) == canonical(data)


def test_any_encoding_is_written_as_utf_8() -> None:
    text = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="1mm" height="1mm"><text>Ärmel</text></svg>'
    )
    assert "Ärmel".encode() in serialise(parse(text.encode("utf-16")))


def test_what_is_written_is_whole_and_leaves_nothing_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "mit Ärmel und Leerzeichen.svg"
    write_atomically(parse(EMPTY), path)
    write_atomically(b"second", path)
    assert path.read_bytes() == b"second"
    assert list(tmp_path.iterdir()) == [path]


def test_a_drawing_is_read_and_written_at_its_path(tmp_path: Path) -> None:
    path = SvgBuilder().write(tmp_path / "größe 38.svg")
    document = parse(path)
    assert document.path == path
    write_atomically(document, path)
    assert canonical(path.read_bytes()) == canonical(SvgBuilder().data())


def test_permissions_and_links_are_kept(tmp_path: Path) -> None:
    path, link = tmp_path / "a.svg", tmp_path / "link.svg"
    path.write_bytes(b"old")
    path.chmod(0o640)
    link.symlink_to(path)
    write_atomically(b"new", link)
    assert link.is_symlink()
    assert path.read_bytes() == b"new"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_a_new_file_has_the_usual_permissions(tmp_path: Path) -> None:
    (tmp_path / "usual").write_bytes(b"")
    write_atomically(b"", tmp_path / "ours")
    assert (tmp_path / "ours").stat().st_mode == (tmp_path / "usual").stat().st_mode


def test_a_device_is_written_to_and_not_replaced() -> None:
    write_atomically(b"gone", Path(os.devnull))
    assert not Path(os.devnull).is_file()


@pytest.mark.parametrize(
    ("path", "words"),
    [("file/out.svg", "not a folder"), ("nowhere/out.svg", "make the folder"), (".", "a folder")],
)
def test_where_one_cannot_write_is_said_plainly(tmp_path: Path, path: str, words: str) -> None:
    (tmp_path / "file").write_bytes(b"kept")
    with pytest.raises(DrawingError, match=words) as error:
        write_atomically(b"x", tmp_path / path)
    assert "Cannot write" in str(error.value)
    assert [entry.name for entry in tmp_path.iterdir()] == ["file"]
    assert (tmp_path / "file").read_bytes() == b"kept"


def test_a_failure_half_way_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    path = tmp_path / "a.svg"
    path.write_bytes(b"old")
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(DrawingError, match="No space left"):
        write_atomically(b"new", path)
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


def test_names_of_layers_in_the_bytes_of_a_pdf_are_read() -> None:
    """Inkscape 1.4 writes them so, and the drawing was refused as damaged."""
    names = b'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
    label = '<g inkscape:label="Größe 36"/>'
    layers = label.encode() + label.encode("iso-8859-1")
    root = parse(b"<svg " + SVG + b" " + names + b">" + layers + b"</svg>").root
    assert [value for layer in root for value in layer.attrib.values()] == ["Größe 36"] * 2
    assert "damaged" in refusal(b"<svg " + SVG + b" id='\xf6'/>")

# SPDX-License-Identifier: GPL-2.0-or-later
"""A drawing as a file: parsed strictly, its page in millimetres, written whole or not at all."""

from __future__ import annotations

import contextlib
import os
import re
import tempfile
from dataclasses import dataclass
from pathlib import Path

from lxml import etree

from extension.language.errors import DrawingError
from extension.language.names import NAMESPACE, PREFIX
from extension.language.units import MM_PER_PX, Viewport, user_units
from extension.svg.identities import SODIPODI, SVG
from extension.svg.model import Matrix
from extension.svg.transforms import can_be_undone, inverse, multiply, parse_transform, scaling
from extension.svg.viewports import fit_view_box, parse_view_box
from extension.watch import WRITING

MAX_BYTES = 50_000_000
MOST_PAGE = 1.8e6
"""px (about 476 m) up to which a page may be wide or high: what is drawn beside it must be read."""
MAX_DEPTH = 100
MAX_ELEMENTS = 20_000
"""What clip paths hold does not count: a reader of PDF files may make one for everything drawn."""
MAX_CLIPPING = 80_000

# Else lxml makes up prefixes, ns0, ns1 ..., and the first one is what the editor then shows.
etree.register_namespace(PREFIX, NAMESPACE)

_LABEL = re.compile(rb'inkscape:label="[^"<]*"')
_FILE_NAME = f"{{{SODIPODI}}}docname"
_CLIP = f"{{{SVG}}}clipPath"
_CHUNK = 1 << 16
_DAMAGED = "open it in the editor, save it again, and try once more"


@dataclass(frozen=True, eq=False, slots=True)
class Document:
    """A parsed drawing.

    `page` maps the root's user units to page mm (y down, from the page's top left corner) and
    `from_page` undoes it. `viewport` is what percentages in the drawing are parts of; `path` is
    the file it came from, if any.
    """

    tree: etree._ElementTree
    page: Matrix
    from_page: Matrix
    viewport: Viewport
    path: Path | None = None

    @property
    def root(self) -> etree._Element:
        """The outermost `svg` element."""
        return self.tree.getroot()


def title_of(document: Document) -> str:
    """Return what a drawing is called: its title, else its file's name, else nothing."""
    told = document.root.findtext(f"{{{SVG}}}title") or ""
    name = str(document.path or document.root.get(_FILE_NAME) or "")
    stem = name.replace("\\", "/").rpartition("/")[2].rpartition(".svg")
    return " ".join(told.split()) or stem[0] or stem[2]


def parse(source: bytes | Path, elements: etree.PythonElementClassLookup | None = None) -> Document:
    """Return the drawing in a file or in bytes, in lxml's own elements unless others are chosen.

    Nothing is repaired, no entity is expanded and nothing is fetched. Raises DrawingError with
    one sentence when the file cannot be read, is damaged or not SVG, or exceeds a limit.
    """
    path = source if isinstance(source, Path) else None
    name = f"“{path.name}”" if path is not None else "The drawing"
    tree = _parse_strictly(_bytes_of(source, name), name, elements)
    root = tree.getroot()
    if root.tag != f"{{{SVG}}}svg":
        raise DrawingError(f"{name} is not an SVG drawing: save it as SVG from the editor.")
    page, viewport = _page_of(root)
    if not can_be_undone(page):
        raise _page_fault("viewBox", root.get("viewBox", ""))
    return Document(tree, page, inverse(page), viewport, path)


def viewport_of(element: etree._Element) -> Viewport:
    """Return what percentages in the drawing that an element belongs to are parts of."""
    return _page_of(element.getroottree().getroot())[1]


def serialise(document: Document) -> bytes:
    """Return the drawing as UTF-8 bytes, with its comments, instructions and namespaces kept."""
    data: bytes = etree.tostring(  # type: ignore[assignment]
        document.tree,
        encoding="UTF-8",
        xml_declaration=True,
        standalone=document.tree.docinfo.standalone,  # type: ignore[arg-type]
    )
    return data


def write_atomically(content: Document | bytes, path: Path) -> None:
    """Write a drawing, or bytes, so that `path` holds either the old or the whole new content.

    A device such as a pipe is written to directly. Raises DrawingError when it cannot be done.
    """
    data = serialise(content) if isinstance(content, Document) else content
    try:
        target = path.resolve()
        if target.is_dir():
            raise IsADirectoryError
        if target.exists() and not target.is_file():
            target.write_bytes(data)
        else:
            with WRITING:
                _replace(target, data)
    except OSError as error:
        raise DrawingError(f"Cannot write “{path}”: {_why(error)}.") from error


def check_writable(path: Path) -> None:
    """Raise DrawingError when `path` cannot be written to, before the work for it is done."""
    try:
        target = path.resolve()
        if target.is_dir():
            raise IsADirectoryError
        if target.is_file() or not target.exists():
            tempfile.TemporaryFile(prefix=".thriftlay-", dir=target.parent).close()
    except OSError as error:
        raise DrawingError(f"Cannot write “{path}”: {_why(error)}.") from error


def _replace(target: Path, data: bytes) -> None:
    """Write a new file beside the target and put it in its place."""
    mode = target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~_umask()
    handle, name = tempfile.mkstemp(prefix=".thriftlay-", suffix=".tmp", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(mode)
        Path(name).replace(target)
    except BaseException:
        with contextlib.suppress(OSError):
            Path(name).unlink()
        raise


def _umask() -> int:
    """Return the permissions that new files lack (it can only be read by setting it)."""
    mask = os.umask(0o022)
    os.umask(mask)
    return mask


def _why(error: OSError) -> str:
    """Return the reason of a failed read or write, with the remedy, in plain words."""
    if isinstance(error, FileNotFoundError):
        return "there is no such file or folder: check the name, or make the folder first"
    if isinstance(error, NotADirectoryError | FileExistsError):
        return "a part of the path is a file, not a folder: choose another folder"
    if isinstance(error, IsADirectoryError):
        return "it is a folder: add a file name"
    if isinstance(error, PermissionError):
        return "permission is missing: choose another folder"
    return f"the system says “{error.strerror or error}”: choose another folder or free some space"


def _bytes_of(source: bytes | Path, name: str) -> bytes:
    """Return the bytes of a file within the limit on its size."""
    try:
        if isinstance(source, Path):
            with source.open("rb") as file:
                data = file.read(MAX_BYTES + 1)
        else:
            data = source
    except OSError as error:
        raise DrawingError(f"Cannot read {name}: {_why(error)}.") from error
    if len(data) > MAX_BYTES:
        raise DrawingError(
            f"{name} is larger than {MAX_BYTES // 1_000_000} MB: "
            "link large pictures instead of embedding them, or divide the drawing."
        )
    if not data.strip():
        raise DrawingError(f"{name} is empty: save the drawing again and try once more.")
    if data.startswith(b"\x1f\x8b"):
        raise DrawingError(f"{name} is a compressed drawing: save it as plain SVG.")
    return data if _is_unicode(data) else _LABEL.sub(_mended_label, data)


def _is_unicode(data: bytes) -> bool:
    try:
        data.decode()
    except UnicodeDecodeError:
        return False
    return True


def _mended_label(found: re.Match[bytes]) -> bytes:
    """Return the label of a layer in UTF-8.

    Inkscape 1.4 writes the names of a PDF's layers as the PDF has them, in PDFDocEncoding (ISO
    32000-1, annex D.3), which is as ISO 8859-1 for letters: then the whole file is no XML (seen).
    """
    label = found[0]
    return label if _is_unicode(label) else label.decode("iso-8859-1").encode()


def _parse_strictly(
    data: bytes, name: str, chosen: etree.PythonElementClassLookup | None
) -> etree._ElementTree:
    """Return the tree, fed in chunks so that a limit stops the parser before memory is spent."""
    parser = etree.XMLPullParser(
        events=("start", "end"),
        recover=False,
        huge_tree=False,
        resolve_entities=False,
        no_network=True,
        load_dtd=False,
    )
    if chosen is not None:
        parser.set_element_class_lookup(chosen)
    elements = clipping = depth = within = 0
    try:
        for start in range(0, len(data), _CHUNK):
            parser.feed(data[start : start + _CHUNK])
            for event, element in parser.read_events():
                step = 1 if event == "start" else -1
                depth += step
                if within or getattr(element, "tag", "") == _CLIP:
                    within += step
                    clipping += event == "start"
                else:
                    elements += event == "start"
                _check_limits(max(elements, clipping - MAX_CLIPPING + MAX_ELEMENTS), depth, name)
        root = parser.close()
    except etree.XMLSyntaxError as error:
        raise _syntax_fault(error, name) from None
    tree = root.getroottree()
    subset = tree.docinfo.internalDTD
    if subset is not None and subset.entities():  # type: ignore[attr-defined]
        raise _entities_fault(name)
    return tree


def _check_limits(elements: int, depth: int, name: str) -> None:
    """Raise when a drawing has more elements, or is nested deeper, than we read."""
    if elements > MAX_ELEMENTS:
        raise DrawingError(
            f"{name} has more than {MAX_ELEMENTS:,} objects: "
            "keep only the pieces of one pattern in it, or divide it."
        )
    if depth > MAX_DEPTH:
        raise _depth_fault(name)


def _depth_fault(name: str) -> DrawingError:
    """Return the sentence for groups within groups without end."""
    return DrawingError(f"{name} nests groups more than {MAX_DEPTH} deep: ungroup some of them.")


def _entities_fault(name: str) -> DrawingError:
    """Return the sentence for a file with text entities, which could grow without end."""
    return DrawingError(
        f"{name} defines its own text entities, which are not read: "
        "open it in the editor and save it as plain SVG."
    )


def _syntax_fault(error: etree.XMLSyntaxError, name: str) -> DrawingError:
    """Return the sentence for a file that is not well formed."""
    message = str(error.msg).lower()
    if "amplification" in message or "entity reference loop" in message:
        return _entities_fault(name)
    if "depth" in message:
        return _depth_fault(name)
    if "too long" in message or "huge" in message:
        return DrawingError(
            f"{name} holds a single item of more than 10 MB (an embedded picture?): "
            "link the picture instead of embedding it."
        )
    line = f" at line {error.lineno}" if error.lineno else ""
    return DrawingError(f"{name} is damaged or not SVG{line}: {_DAMAGED}.")


def _page_of(root: etree._Element) -> tuple[Matrix, Viewport]:
    """Return the map from user units to page mm, and what percentages are parts of."""
    if (root.get("transform") or "").strip() not in ("", "none"):
        # Browsers apply it, the editor does not: there is no one place where things lie.
        raise DrawingError(
            "The drawing as a whole carries a transform, which the editor does not show: "
            "remove it from the outermost element."
        )
    try:
        view_box = parse_view_box(root.get("viewBox"))
    except ValueError:
        raise _page_fault("viewBox", root.get("viewBox", "")) from None
    width = _page_side(root, "width", view_box[2] if view_box else 100.0)
    height = _page_side(root, "height", view_box[3] if view_box else 100.0)
    to_mm = scaling(MM_PER_PX, MM_PER_PX)
    if view_box is None:
        return to_mm, (width, height)
    fitted = fit_view_box(view_box, width, height, root.get("preserveAspectRatio"))
    return multiply(to_mm, fitted), (view_box[2], view_box[3])


def _page_side(root: etree._Element, name: str, whole: float) -> float:
    """Return the width or height of the page in px.

    When it is missing, or a percentage, it is that part of the viewBox in px: so the editor has it.
    A page measured in font sizes is refused.
    """
    text = root.get(name, "").strip() or "100%"
    try:
        side = user_units(text, (whole, whole), "x", font_size=0.0)
    except ValueError:
        raise _page_fault(name, text) from None
    if not 0.0 < side < MOST_PAGE:
        raise _page_fault(name, text)
    return side


def _page_fault(name: str, text: str) -> DrawingError:
    """Return the sentence for a page whose size cannot be read."""
    return DrawingError(
        f"The page has no usable size ({name} is “{text}”): "
        "set its width and height in the editor's document properties."
    )


def matrix_of(document: Document, element: etree._Element) -> Matrix:
    """Return the map from the coordinates inside an element to page mm."""
    matrix = document.page
    lines = [*reversed(list(element.iterancestors())), element]
    for one in lines[1:]:
        matrix = multiply(matrix, parse_transform(one.get("transform")))
    return matrix

"""Is a picture read as it is meant, whatever wrote it, and refused with a sentence when it cannot be?

Orientation: Exif 2.3, tag 274. Profile: ICC.1, as applied by Little CMS within Pillow. Light: IEC
61966-2-1 (black and white pixels mix to linear 0.5).
"""

import io
import struct
import zlib

import numpy as np
import pytest
from PIL import Image, ImageCms

from crossfell.search.sketch.picture import PictureRefused, cells_of

WALL = np.array([0.9, 0.9, 0.9])
HALVES = np.zeros((40, 30, 3), dtype=np.uint8)
HALVES[:20] = (255, 0, 0)  # red above, blue below
HALVES[20:] = (0, 0, 255)


def read(path, rows=4, places=3, **said):
    usual = {"aspect": places / rows, "fit": "stretch", "wall": WALL, "upright": False}
    return cells_of(path, rows, places, **(usual | said))


def saved(folder, image, name, **options):
    path = folder / name
    image.save(path, **options)
    return path


@pytest.mark.parametrize(("name", "options"), [
    ("a.png", {}), ("a.jpg", {"quality": 95, "subsampling": 0}), ("a.webp", {"lossless": True}),
])  # fmt: skip
def test_red_is_above_and_blue_below_in_every_kind_of_picture(tmp_path, name, options):
    cells = read(saved(tmp_path, Image.fromarray(HALVES), name, **options))
    assert cells.light[0, 0] == pytest.approx([1, 0, 0], abs=0.02)
    assert cells.light[-1, -1] == pytest.approx([0, 0, 1], abs=0.02)
    assert (cells.matters == 1).all()


def test_a_drawing_is_drawn(tmp_path):
    path = tmp_path / "a.svg"
    path.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 30 40"><rect width="30" height="20" '
        'fill="#f00"/></svg>'
    )
    cells = read(path)
    assert cells.light[0, 1] == pytest.approx([1, 0, 0], abs=0.01)
    assert cells.light[3, 1] == pytest.approx(WALL, abs=0.01)  # nothing drawn: bare wall


def test_a_photograph_taken_on_its_side_stands_up(tmp_path):
    lying = Image.fromarray(HALVES).rotate(90, expand=True)
    exif = Image.Exif()
    exif[274] = 6  # turn it a quarter to the right to see it
    cells = read(saved(tmp_path, lying, "a.jpg", exif=exif, quality=95, subsampling=0))
    assert cells.light[0, 1] == pytest.approx([1, 0, 0], abs=0.02)


def test_a_profile_is_applied(tmp_path):
    """A grey of 50 % in linear light, in a picture whose profile says that its values are linear."""
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    linear = b"curv" + bytes(4) + struct.pack(">I", 0)
    for k in range(struct.unpack(">I", profile[128:132])[0]):
        entry = 132 + 12 * k
        if bytes(profile[entry + 1 : entry + 4]) == b"TRC":
            at, size = struct.unpack(">II", profile[entry + 4 : entry + 12])
            profile[at : at + size] = linear.ljust(size, b"\0")
    grey = Image.new("RGB", (8, 8), (128, 128, 128))
    plain = read(saved(tmp_path, grey, "plain.png"))
    meant = read(saved(tmp_path, grey, "meant.png", icc_profile=bytes(profile)))
    assert plain.light.mean() == pytest.approx(0.216, abs=0.005)
    assert meant.light.mean() == pytest.approx(0.502, abs=0.01)


def test_light_is_averaged_not_stored_values(tmp_path):
    board = (np.indices((40, 30)).sum(axis=0) % 2 * 255).astype(np.uint8)
    cells = read(saved(tmp_path, Image.fromarray(board), "a.png"))
    assert cells.light == pytest.approx(0.5, abs=0.02)


def test_what_is_transparent_is_bare_wall(tmp_path):
    clear = Image.new("RGBA", (30, 40), (255, 0, 0, 0))
    assert read(saved(tmp_path, clear, "a.png")).light == pytest.approx(0.9)


def test_upright_turns_it_a_quarter_to_the_left(tmp_path):
    cells = read(saved(tmp_path, Image.fromarray(HALVES), "a.png"), upright=True)
    assert cells.light[0, 0] == pytest.approx([1, 0, 0], abs=0.02)  # what was above is on the left
    assert cells.light[0, 2] == pytest.approx([0, 0, 1], abs=0.02)


def test_all_of_it_leaves_open_what_is_missing_and_a_crop_leaves_nothing(tmp_path):
    wide = saved(tmp_path, Image.new("RGB", (60, 20), (255, 0, 0)), "a.png")
    whole = read(wide, rows=6, places=6, fit="whole")
    assert whole.matters[0].max() == 0
    assert whole.matters[2:4].min() == 1
    assert read(wide, rows=6, places=6, fit="fill").matters.min() == 1


def too_large(side):
    """A PNG that says that it has more pixels than there is room for."""
    head = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        for kind, body in ((b"IHDR", head), (b"IDAT", zlib.compress(b"")), (b"IEND", b""))
    )


def half_a_picture():
    out = io.BytesIO()
    Image.fromarray(HALVES).save(out, "JPEG")
    return out.getvalue()[: len(out.getvalue()) // 2]


NESTED = (
    b"<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'><g id='a0'><rect/></g>"
    + b"".join(
        b"<g id='a%d'>" % k + b"<use href='#a%d'/>" % (k - 1) * 20 + b"</g>" for k in range(1, 12)
    )
    + b"</svg>"
)
ENTITIES = b"<!DOCTYPE x [<!ENTITY a0 'aaaa'>" + b"".join(
    b"<!ENTITY a%d '%s'>" % (k, b"&a%d;" % (k - 1) * 20) for k in range(1, 12)
) + b"]><svg xmlns='http://www.w3.org/2000/svg'><text>&a11;</text></svg>"  # fmt: skip


@pytest.mark.parametrize(("raw", "says"), [
    (b"", "is no PNG"), (b"GIF89a", "is no PNG"), (too_large(8000), "8000 × 8000 pixels"),
    (too_large(100_000), "far more than"),
    (half_a_picture(), "is damaged"), (b"<svg", "cannot be drawn"), (b"<html></html>", "cannot be drawn"),
])  # fmt: skip
def test_what_cannot_be_read_is_said_in_a_sentence(tmp_path, raw, says):
    path = tmp_path / "picture"
    path.write_bytes(raw)
    found = read(path)
    assert isinstance(found, PictureRefused)
    assert says in found.says


@pytest.mark.parametrize("raw", [NESTED, ENTITIES], ids=["uses", "entities"])
def test_a_drawing_made_to_take_for_ever_is_given_up(tmp_path, raw):
    path = tmp_path / "bomb.svg"
    path.write_bytes(raw)
    assert isinstance(read(path), PictureRefused)

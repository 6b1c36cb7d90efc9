"""How is a PDF written down: numbered objects, equal ones once, streams with what they name?

Source: ISO 32000-1:2008, 7.3 (objects), 7.5 (file structure), 8.10 (forms).
Checked: tests/outside/test_picture_pages.py, read by two other libraries.
"""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import dataclass, field

Box = tuple[float, float, float, float]


@dataclass
class Stream:
    """Operators as they grow, and the numbered objects that they name."""

    parts: list[str] = field(default_factory=list)
    used: dict[str, set[int]] = field(default_factory=dict)

    def add(self, operators: str) -> None:
        """One more line of operators."""
        self.parts.append(operators)

    def name(self, kind: str, number: int) -> str:
        """The name of an object as a resource (`XObject`, `Shading`, …) of this stream."""
        self.used.setdefault(kind, set()).add(number)
        return f"/{kind[0]}{number}"

    def resources(self) -> str:
        """The dictionary of resources."""
        rows = (
            f"/{kind}<<{' '.join(f'/{kind[0]}{n} {n} 0 R' for n in sorted(numbers))}>>"
            for kind, numbers in sorted(self.used.items())
        )
        return f"/Resources<<{''.join(rows)}>>"


@dataclass
class File:
    """A PDF as it grows. Objects 1 and 2 are the catalog and the list of pages."""

    objects: list[bytes] = field(default_factory=lambda: [b"", b""])
    known: dict[bytes, int] = field(default_factory=dict)
    pages: list[int] = field(default_factory=list)

    def put(self, body: bytes) -> int:
        """The number of an object; equal ones are one."""
        number = self.known.get(body)
        if number is None:
            self.objects.append(body)
            number = self.known[body] = len(self.objects)
        return number

    def form(self, stream: Stream, box: Box, more: str = "") -> int:
        """A form: operators to be drawn in many places, with the box that holds them."""
        corners = " ".join(f"{value:.2f}" for value in box)
        return self.stream(f"/Type/XObject/Subtype/Form/BBox[{corners}]{more}", stream)

    def stream(self, head: str, stream: Stream) -> int:
        """A stream with its resources in its dictionary."""
        packed = zlib.compress("\n".join(stream.parts).encode("ascii"), 6)
        about = f"{head}{stream.resources()}/Filter/FlateDecode/Length {len(packed)}"
        return self.put(b"<<%s>>stream\n%s\nendstream" % (about.encode("ascii"), packed))

    def pixels(self, rgb: bytes, wide: int, high: int) -> int:
        """A picture of `wide` by `high` pixels, red, green and blue, row by row from above."""
        packed = zlib.compress(rgb, 6)
        about = (
            f"/Type/XObject/Subtype/Image/Width {wide}/Height {high}/ColorSpace/DeviceRGB"
            f"/BitsPerComponent 8/Filter/FlateDecode/Length {len(packed)}"
        )
        return self.put(b"<<%s>>stream\n%s\nendstream" % (about.encode("ascii"), packed))

    def page(self, stream: Stream, width_pt: float, height_pt: float) -> int:
        """A page; returns its number, from 1."""
        content = self.stream("", Stream(stream.parts))
        size = f"[0 0 {width_pt:.3f} {height_pt:.3f}]"
        self.objects.append(
            f"<</Type/Page/Parent 2 0 R/MediaBox{size}/Contents {content} 0 R"
            f"{stream.resources()}>>".encode("ascii")
        )
        self.pages.append(len(self.objects))
        return len(self.pages)

    def written(self) -> bytes:
        """The whole file."""
        kids = " ".join(f"{page} 0 R" for page in self.pages)
        tops: Sequence[bytes] = (
            b"<</Type/Catalog/Pages 2 0 R>>",
            f"<</Type/Pages/Count {len(self.pages)}/Kids[{kids}]>>".encode("ascii"),
        )
        out, starts = bytearray(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n"), []
        for number, body in enumerate([*tops, *self.objects[2:]], 1):
            starts.append(len(out))
            out += b"%d 0 obj\n%s\nendobj\n" % (number, body)
        table, count = len(out), len(starts) + 1
        out += b"xref\n0 %d\n0000000000 65535 f \n" % count
        out += b"".join(b"%010d 00000 n \n" % start for start in starts)
        out += b"trailer\n<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n" % (count, table)
        return bytes(out)

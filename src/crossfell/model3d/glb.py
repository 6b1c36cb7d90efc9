"""How do parts become one GLB file, the same bytes each time?

Source: glTF 2.0 (ISO/IEC 12113:2022), binary container in section 4.
Checked: tests/outside/test_glb.py by the Khronos validator and trimesh.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from crossfell.model3d.mesh import Mesh
from crossfell.model3d.picture import Pixels, png_of

FLOAT, SHORT, LONG = 5126, 5123, 5125
CORNERS, TRIANGLES = 34962, 34963
M_PER_MM = 0.001


@dataclass(frozen=True, kw_only=True, eq=False)
class Skin:
    """A material: its colour or picture, its bumps, how metallic and how rough it is."""

    name: str
    colour: tuple[float, float, float] = (1.0, 1.0, 1.0)  # linear light
    picture: Pixels | None = None
    bumps: Pixels | None = None  # normals
    metallic: float = 0.0
    roughness: float = 0.9
    holes: bool = False  # where the picture's alpha is 0


@dataclass(frozen=True, kw_only=True)
class Node:
    """A named thing of the model."""

    name: str
    mesh: Mesh
    skin: Skin


@dataclass
class _File:
    """A GLB as it grows."""

    body: bytearray = field(default_factory=bytearray)
    views: list[dict[str, Any]] = field(default_factory=list)
    accessors: list[dict[str, Any]] = field(default_factory=list)
    images: list[dict[str, Any]] = field(default_factory=list)
    textures: list[dict[str, Any]] = field(default_factory=list)
    materials: list[dict[str, Any]] = field(default_factory=list)
    known: dict[object, int] = field(default_factory=dict)

    def view(self, data: bytes, target: int | None = None) -> int:
        self.body += b"\0" * (-len(self.body) % 4)
        view: dict[str, Any] = {"buffer": 0, "byteOffset": len(self.body), "byteLength": len(data)}
        if target:
            view["target"] = target
        self.body += data
        self.views.append(view)
        return len(self.views) - 1

    def array(self, values: NDArray[Any], kind: str, *, reach: bool = False) -> int:
        is_float = values.dtype == np.float32
        code = FLOAT if is_float else SHORT if values.dtype == np.uint16 else LONG
        view = self.view(values.tobytes(), CORNERS if is_float else TRIANGLES)
        accessor: dict[str, Any] = {
            "bufferView": view,
            "componentType": code,
            "count": len(values),
            "type": kind,
        }
        if reach:
            accessor["min"] = [float(v) for v in values.min(axis=0)]
            accessor["max"] = [float(v) for v in values.max(axis=0)]
        self.accessors.append(accessor)
        return len(self.accessors) - 1

    def texture(self, picture: Pixels, *, sharp: bool) -> int:
        png = png_of(picture)
        key = (png, sharp)
        if key not in self.known:
            image = {"bufferView": self.view(png), "mimeType": "image/png"}
            self.images.append(image)
            self.textures.append({"source": len(self.images) - 1, "sampler": int(sharp)})
            self.known[key] = len(self.textures) - 1
        return self.known[key]

    def material(self, skin: Skin) -> int:
        if skin in self.known:
            return self.known[skin]
        surface: dict[str, Any] = {
            "baseColorFactor": [*(round(part, 5) for part in skin.colour), 1.0],
            "metallicFactor": skin.metallic,
            "roughnessFactor": skin.roughness,
        }
        if skin.picture is not None:
            surface["baseColorTexture"] = {"index": self.texture(skin.picture, sharp=skin.holes)}
        material: dict[str, Any] = {"name": skin.name, "pbrMetallicRoughness": surface}
        if skin.bumps is not None:
            material["normalTexture"] = {"index": self.texture(skin.bumps, sharp=False)}
        if skin.holes:
            material |= {"alphaMode": "MASK", "alphaCutoff": 0.5}
        self.materials.append(material)
        self.known[skin] = len(self.materials) - 1
        return self.known[skin]

    def mesh(self, part: Node) -> dict[str, Any]:
        mesh, skin = part.mesh, part.skin
        attributes = {
            "POSITION": self.array((mesh.points * M_PER_MM).astype(np.float32), "VEC3", reach=True),
            "NORMAL": self.array(_at_one(mesh.normals), "VEC3"),
        }
        if skin.bumps is not None:
            signed = np.column_stack([_at_one(mesh.tangents[:, :3]), mesh.tangents[:, 3]])
            attributes["TANGENT"] = self.array(signed.astype(np.float32), "VEC4")
        if skin.picture is not None:
            attributes["TEXCOORD_0"] = self.array(mesh.uv.astype(np.float32), "VEC2")
        small = np.uint16 if len(mesh.points) < 65535 else np.uint32
        primitive = {
            "attributes": attributes,
            "indices": self.array(mesh.faces.astype(small).reshape(-1), "SCALAR"),
            "material": self.material(skin),
        }
        return {"name": part.name, "primitives": [primitive]}


def glb_of(title: str, parts: Sequence[Node], extras: Mapping[str, object]) -> bytes:
    """Parts (mm, y up, z to the viewer) as one GLB in metres, each a named node."""
    file = _File()
    meshes = [file.mesh(part) for part in parts]
    nodes = [{"name": part.name, "mesh": i} for i, part in enumerate(parts)]
    root = {"name": title, "children": list(range(len(parts))), "extras": dict(extras)}
    samplers = [
        {"magFilter": 9729, "minFilter": 9987, "wrapS": 33071, "wrapT": 10497},
        {"magFilter": 9728, "minFilter": 9987, "wrapS": 33071, "wrapT": 33071},
    ]
    file.body += b"\0" * (-len(file.body) % 4)
    document: dict[str, Any] = {
        "asset": {"version": "2.0", "generator": "Crossfell"},
        "scene": 0,
        "scenes": [{"name": title, "nodes": [len(parts)]}],
        "nodes": [*nodes, root],
        "meshes": meshes,
        "materials": file.materials,
        "accessors": file.accessors,
        "bufferViews": file.views,
        "buffers": [{"byteLength": len(file.body)}],
    }
    if file.images:
        used = sorted({texture["sampler"] for texture in file.textures})
        for texture in file.textures:
            texture["sampler"] = used.index(texture["sampler"])
        document |= {
            "images": file.images,
            "textures": file.textures,
            "samplers": [samplers[i] for i in used],
        }
    text = json.dumps(document, separators=(",", ":"), sort_keys=True).encode()
    text += b" " * (-len(text) % 4)
    whole = 12 + 8 + len(text) + 8 + len(file.body)
    return b"".join(
        (
            struct.pack("<4sII", b"glTF", 2, whole),
            struct.pack("<I4s", len(text), b"JSON"),
            text,
            struct.pack("<I4s", len(file.body), b"BIN\0"),
            bytes(file.body),
        )
    )


def _at_one(vectors: NDArray[np.float64]) -> NDArray[np.float32]:
    """Directions that have length 1 as the file keeps them."""
    length = np.linalg.norm(vectors, axis=1, keepdims=True)
    out: NDArray[np.float32] = (vectors / np.maximum(length, 1e-12)).astype(np.float32)
    return out

"""A room on the device: mesh, label maps, materials, light triangles."""

from __future__ import annotations

from typing import Any

import numpy as np
from device import Float, UInt32, dr, mi
from model import Room
from spectra import BANDS, smooth_reflectance

SHINES = ("matt", "coat", "metal", "window", "lamp")


def reflectances(room: Room, xyz_weights: np.ndarray) -> np.ndarray:
    """Reflectance (materials, 16) of each material."""
    n = BANDS.size
    return np.array(
        [
            np.full(n, m.flat) if m.flat is not None else smooth_reflectance(m.lab, xyz_weights)
            for m in room.materials.values()
        ]
    )


class Scene:
    """A room on the device: mesh, maps, materials, light triangles."""

    def __init__(self, room: Room, xyz_weights: np.ndarray) -> None:
        self.room = room
        a = room.build.arrays()
        mesh = mi.Mesh("room", len(a["v"]), len(a["f"]), has_vertex_normals=True, has_vertex_texcoords=True)
        p = mi.traverse(mesh)
        p["vertex_positions"], p["vertex_normals"] = mi.Float(a["v"].ravel()), mi.Float(a["n"].ravel())
        p["vertex_texcoords"], p["faces"] = mi.Float(a["uv"].ravel()), mi.UInt32(a["f"].ravel())
        p.update()
        self.scene = mi.load_dict({"type": "scene", "room": mesh})
        self.face_surface, self.face_object = UInt32(a["surface"]), UInt32(a["object"])
        used = [room.maps[name] for name in room.build.surfaces]
        sizes = [m.texels.size for m in used]
        self.offset = UInt32(np.concatenate([[0], np.cumsum(sizes)[:-1]]).astype(np.uint32))
        self.texels = UInt32(np.concatenate([m.texels.ravel() for m in used]))
        self.w = UInt32(np.array([m.texels.shape[1] for m in used], np.uint32))
        self.h = UInt32(np.array([m.texels.shape[0] for m in used], np.uint32))
        self.su = Float(np.array([m.texels.shape[1] / m.size[0] for m in used], np.float32))
        self.sv = Float(np.array([m.texels.shape[0] / m.size[1] for m in used], np.float32))
        mats = list(room.materials.values())
        self.shine = UInt32(np.array([SHINES.index(m.shine) for m in mats], np.uint32))
        self.rough = Float(np.array([m.rough for m in mats], np.float32))
        self.table = reflectances(room, xyz_weights)
        self.refl = Float(self.table.astype(np.float32).ravel())
        self.groups = sorted({m.group for m in mats if m.group})
        self.group = UInt32(np.array([self.groups.index(m.group) + 1 if m.group else 0 for m in mats], np.uint32))
        self.power = Float(np.array([m.power for m in mats], np.float32))
        self._lights(a, used, mats)

    def _lights(self, a: dict[str, np.ndarray], used: list[Any], mats: list[Any]) -> None:
        label = np.array([m.texels[0, 0] & 255 for m in used])[a["surface"]]
        self.light: dict[str, tuple[Any, ...]] = {}
        for group in self.groups:
            faces = np.flatnonzero(np.array([mats[k].group == group for k in label]))
            v = a["v"][a["f"][faces]]
            e1, e2 = v[:, 1] - v[:, 0], v[:, 2] - v[:, 0]
            n = np.cross(e1, e2)
            area = np.linalg.norm(n, axis=1) / 2
            facing = np.sign((n * a["n"][a["f"][faces, 0]]).sum(axis=1))
            keep = area > 1e-9
            faces, v, e1, e2, n = faces[keep], v[keep], e1[keep], e2[keep], n[keep]
            area, facing = area[keep], facing[keep]
            n = n / (2 * area * facing)[:, None]
            weight = area * np.array([mats[k].power for k in label[faces]])
            # A table of 4096 entries picks the triangle; the densities below are those of the table, not of the areas.
            table = np.searchsorted(np.cumsum(weight) / weight.sum(), (np.arange(4096) + 0.5) / 4096).astype(np.uint32)
            hits = np.bincount(table, minlength=len(faces)) / 4096
            pdf = hits / area
            packed = np.concatenate([v[:, 0], e1, e2, n, pdf[:, None], label[faces][:, None]], axis=1)
            density = np.zeros(len(a["f"]), np.float32)
            density[faces] = pdf
            self.light[group] = (UInt32(table), Float(packed.astype(np.float32).ravel()), Float(density))

    def lookup(self, si: Any, jitter: Any, active: Any) -> tuple[Any, Any, Any, Any]:
        """Material, scale and tilts at a hit."""
        surface = dr.gather(UInt32, self.face_surface, si.prim_index, active)
        w, h = dr.gather(UInt32, self.w, surface, active), dr.gather(UInt32, self.h, surface, active)
        x = dr.floor(si.uv.x * dr.gather(Float, self.su, surface, active) + jitter.x - 0.5)
        y = dr.floor(si.uv.y * dr.gather(Float, self.sv, surface, active) + jitter.y - 0.5)
        fw, fh = Float(w), Float(h)
        x, y = x - fw * dr.floor(x / fw), y - fh * dr.floor(y / fh)
        index = dr.minimum(UInt32(y), h - 1) * w + dr.minimum(UInt32(x), w - 1)
        word = dr.gather(UInt32, self.texels, dr.gather(UInt32, self.offset, surface, active) + index, active)
        scale = Float((word >> 8) & 255) / 256 + 0.5
        plain = (w == 1) & (h == 1)
        scale = dr.select(plain, 1.0, scale)
        return word & 255, scale, Float((word >> 16) & 255) / 128 - 1, Float(word >> 24) / 128 - 1

"""A spectral path tracer: 16 bands along each path, Mitsuba 3 for the intersections only.

The diffuse part meets lights by next-event estimation and by hitting them, weighed with the balance heuristic; the specular
part (coat, metal) only by hitting them. The coat's diffuse part is scaled so that the 45:0 reflectance factor equals the material's reflectance.
"""

from __future__ import annotations

import os
from typing import Any

import numpy as np

if "DRJIT_LIBLLVM_PATH" not in os.environ and os.path.exists("/usr/lib/x86_64-linux-gnu/libLLVM.so.19.1"):
    os.environ["DRJIT_LIBLLVM_PATH"] = "/usr/lib/x86_64-linux-gnu/libLLVM.so.19.1"
import drjit as dr
import mitsuba as mi

mi.set_variant(os.environ.get("RENDER_VARIANT", "llvm_ad_rgb"))

from model import Room, View  # noqa: E402 - Mitsuba wants its variant first
from spectra import BANDS, smooth_reflectance  # noqa: E402 - same reason

N = BANDS.size
SHINES = ("matt", "coat", "metal", "window", "lamp")
Float, UInt32, Bool, Vector3f = mi.Float, mi.UInt32, mi.Bool, mi.Vector3f
FOLIAGE = np.interp(BANDS, [400, 480, 520, 550, 580, 620, 680, 700], [0.125, 0.135, 0.155, 0.18, 0.172, 0.16, 0.155, 0.18])


def reflectances(room: Room, xyz_weights: np.ndarray) -> np.ndarray:
    """Reflectance (materials, 16) of each material."""
    out = []
    for m in room.materials.values():
        out.append(np.full(N, m.flat) if m.flat is not None else smooth_reflectance(m.lab, xyz_weights))
    return np.array(out)


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


def outside(d: Any) -> tuple[Any, Any]:
    """Daylight seen along d: how much flat sky and how much foliage or ground, radiance relative to the zenith's."""
    across = dr.atan2(d.y, d.x)
    tree = 0.10 + 0.05 * dr.sin(across * 5 + 1) + 0.03 * dr.sin(across * 13) + 0.012 * dr.sin(across * 41 + 2)
    open_sky = dr.clip((d.z - tree) / 0.03 + 0.5, 0, 1)
    sky = open_sky * (0.75 + 0.35 * dr.clip(d.z, 0, 1))
    ground = dr.select(d.z < -0.05, 1.0, 1.0 + 0.5 * dr.sin(across * 60) * dr.sin(d.z * 90))
    return sky, ground * (1 - open_sky)


def fresnel(c: Any) -> Any:
    """Reflectance of a dielectric of index 1.5 at cosine c (Schlick)."""
    return 0.04 + 0.96 * (1 - dr.clip(c, 0, 1)) ** 5


F45 = float((1 - (0.04 + 0.96 * (1 - np.sqrt(0.5)) ** 5)) * (1 - 0.04))


def camera_rays(view: View, pixel: Any, sampler: Any, spread: float) -> Any:
    """Rays through the pixels; `spread` is the sigma of the Gaussian pixel filter, in pixels."""
    # Opaque values, so that one kernel serves every picture.
    width = dr.opaque(UInt32, view.size[0])
    centre = [dr.opaque(Float, view.size[k] / 2) for k in range(2)]
    focal = dr.opaque(Float, view.size[0] / 2 / np.tan(np.radians(view.fov) / 2))
    right, down, forward, eye = (Vector3f(*(dr.opaque(Float, float(c)) for c in axis)) for axis in (*view.frame(), view.eye))
    u1, u2 = sampler.next_1d(), sampler.next_1d()
    r = spread * dr.sqrt(-2 * dr.log(dr.maximum(u1, 1e-7)))
    x = Float(pixel % width) + 0.5 + r * dr.cos(dr.two_pi * u2)
    y = Float(pixel // width) + 0.5 + r * dr.sin(dr.two_pi * u2)
    d = right * ((x - centre[0]) / focal) + down * ((y - centre[1]) / focal) + forward
    return mi.Ray3f(mi.Point3f(eye), dr.normalize(d))


def coat_normal(frame: Any, alpha: Any, u: Any) -> Any:
    """A micro-normal of the GGX distribution about the frame."""
    a2 = alpha * alpha
    cos2 = (1 - u.x) / (1 + (a2 - 1) * u.x)
    cos_t, sin_t = dr.sqrt(cos2), dr.sqrt(dr.maximum(0, 1 - cos2))
    phi = dr.two_pi * u.y
    return dr.normalize(frame.to_world(Vector3f(sin_t * dr.cos(phi), sin_t * dr.sin(phi), cos_t)))


def radiance(scene: Scene, view: View, group: str, pixel: Any, sampler: Any, limit: float, depth_limit: int = 12) -> list[Any]:
    """Spectral radiance, 16 bands, of one path per pixel index, under one light group at unit power.

    Light that has made a diffuse bounce before the last one is capped at `limit` a sample (all bands alike): that takes
    a little of the light in the room away and leaves colours alone.
    """
    number = dr.opaque(UInt32, scene.groups.index(group) + 1)
    table, packed, density = scene.light[group]
    limit = dr.opaque(Float, limit)
    ray = camera_rays(view, pixel, sampler, 0.45)
    n_lanes = dr.width(pixel)
    thr = [dr.full(Float, 1.0, n_lanes) for _ in range(N)]
    rad = [dr.zeros(Float, n_lanes) for _ in range(N)]
    sees = dr.full(Bool, True, n_lanes)
    active = dr.full(Bool, True, n_lanes)
    depth = dr.zeros(UInt32, n_lanes)

    pdf_b = dr.zeros(Float, n_lanes)
    bounced = dr.full(Bool, False, n_lanes)

    def body(ray: Any, thr: Any, rad: Any, sees: Any, bounced: Any, pdf_b: Any, active: Any, depth: Any, sampler: Any) -> tuple[Any, ...]:
        si = scene.scene.ray_intersect(ray, active)
        active = active & si.is_valid()
        jitter = sampler.next_2d(active)
        mat, scale, tu, tv = scene.lookup(si, jitter, active)
        shine = dr.gather(UInt32, scene.shine, mat, active)
        power = dr.gather(Float, scene.power, mat, active)
        lit = active & (dr.gather(UInt32, scene.group, mat, active) == number) & (dr.dot(si.n, ray.d) < 0)
        flat, leaves = emission(shine, power, ray.d)
        pdf_l = dr.gather(Float, density, si.prim_index, active) * si.t * si.t / dr.maximum(-dr.dot(si.n, ray.d), 1e-4)
        lit_w = dr.select(lit, dr.select(sees, 1.0, pdf_b / dr.maximum(pdf_b + pdf_l, 1e-9)), 0.0)
        brightest = top_of(thr) * (flat + 0.2 * leaves) * lit_w
        lit_w = lit_w * dr.select(
            depth > 0, dr.minimum(1.0, limit * dr.select(bounced, 1.0, 12.0) / dr.maximum(brightest, 1e-9)), 1.0)
        rad = [r + t * lit_w * (flat + leaves * FOLIAGE[k]) for k, (r, t) in enumerate(zip(rad, thr, strict=True))]
        active = active & (shine != 3)

        # Shading frame: towards the viewer, tilted by the map.
        n = dr.normalize(si.sh_frame.n)
        n = dr.select(dr.dot(si.n, ray.d) > 0, -1.0, 1.0) * dr.select(dr.dot(n, si.n) < 0, -1.0, 1.0) * n
        t = dr.normalize(si.dp_du - n * dr.dot(n, si.dp_du))
        b = dr.normalize(si.dp_dv - n * dr.dot(n, si.dp_dv))
        tilted = dr.normalize(n + tu * t + tv * b)
        ok = dr.isfinite(tilted.x) & (dr.dot(tilted, -ray.d) > 0.02)
        n = dr.select(ok, tilted, n)
        frame = mi.Frame3f(n)
        cos_o = dr.maximum(dr.dot(n, -ray.d), 0.01)
        refl = [dr.gather(Float, scene.refl, mat * N + k, active) for k in range(N)]
        coat = shine == 1
        f_o = fresnel(cos_o)
        body_o = dr.select(coat, (1 - f_o) / F45, 1.0)
        # Past a diffuse bounce mirror parts are spread as diffuse light: no caustics, hence no fireflies.
        metal = (shine == 2) & sees
        spread = dr.select(coat & ~sees, f_o, 0.0)

        pale = sum(refl[2::5]) / 3.0 + 0.01
        # Next event, weighed against finding the light by the diffuse bounce.
        choose = dr.select(metal, 1.0, dr.select(coat & sees, (f_o + 0.02) / (f_o + 0.02 + pale), 0.0))
        u = sampler.next_1d(active)
        pick = dr.minimum(UInt32(u * 4096), 4095)
        pick = dr.gather(UInt32, table, pick, active)
        q = [dr.gather(Float, packed, pick * 14 + k, active) for k in range(14)]
        s = sampler.next_2d(active)
        root = dr.sqrt(s.x)
        point = Vector3f(*q[0:3]) + (1 - root) * Vector3f(*q[3:6]) + root * s.y * Vector3f(*q[6:9])
        to = point - Vector3f(si.p)
        dist2 = dr.squared_norm(to)
        d = to * dr.rsqrt(dist2)
        cos_i, cos_l = dr.dot(n, d), -dr.dot(Vector3f(*q[9:12]), d)
        able = active & ~metal & (cos_i > 0) & (cos_l > 0) & (dr.dot(d, si.n) * dr.dot(-ray.d, si.n) > 0)
        shadow = si.spawn_ray_to(mi.Point3f(point))
        able = able & ~scene.scene.ray_test(shadow, able)
        lmat = UInt32(q[13])
        flat, leaves = emission(dr.gather(UInt32, scene.shine, lmat, able), dr.gather(Float, scene.power, lmat, able), d)
        body_i = dr.select(coat, 1 - fresnel(cos_i), 1.0)
        pdf_l = q[12] * dist2 / dr.maximum(cos_l, 1e-6)
        geometry = dr.inv_pi * cos_i / (pdf_l + (1 - choose) * cos_i * dr.inv_pi)
        geometry = dr.select(able, geometry, 0.0)
        bodies = scale * body_o * body_i
        brightest = top_of(thr) * geometry * (flat + 0.2 * leaves) * bodies * 0.7
        geometry = geometry * dr.select(~sees, dr.minimum(1.0, limit / dr.maximum(brightest, 1e-9)), 1.0)
        rad = [r + t_ * (a * bodies + spread) * geometry * (flat + leaves * FOLIAGE[k])
               for k, (r, t_, a) in enumerate(zip(rad, thr, refl, strict=True))]  # fmt: skip

        # Onward: through the specular part or the diffuse part.
        mirror = sampler.next_1d(active) < choose
        rough = dr.gather(Float, scene.rough, mat, active)
        m = coat_normal(frame, dr.maximum(rough * rough, 1e-3), sampler.next_2d(active))
        out_m = ray.d - 2 * dr.dot(ray.d, m) * m
        cos_m = dr.dot(-ray.d, m)
        f_m = fresnel(cos_m) / dr.maximum(choose, 1e-4)
        out_d = frame.to_world(mi.warp.square_to_cosine_hemisphere(sampler.next_2d(active)))
        body_d = scale * body_o * dr.select(coat, 1 - fresnel(dr.dot(out_d, n)), 1.0) / dr.maximum(1 - choose, 1e-4)
        edge = (1 - dr.clip(cos_m, 0, 1)) ** 5
        thr = [t_ * dr.select(mirror, dr.select(metal, a + (1 - a) * edge, f_m), a * body_d + spread)
               for t_, a in zip(thr, refl, strict=True)]  # fmt: skip
        out = dr.select(mirror, out_m, out_d)
        active = active & (dr.dot(out, si.n) * dr.dot(-ray.d, si.n) > 0) & ((cos_m > 0) | ~mirror)
        bounced = ~sees
        sees = mirror
        pdf_b = (1 - choose) * dr.inv_pi * dr.maximum(dr.dot(out_d, n), 0)
        depth = depth + 1
        live = dr.select(depth > 3, dr.clip(top_of(thr), 0.05, 0.95), 1.0)
        active = active & (sampler.next_1d(active) < live) & (depth < depth_limit)
        thr = [t_ / live for t_ in thr]
        new = si.spawn_ray(out)
        ray = mi.Ray3f(new.o, new.d)
        return ray, thr, rad, sees, bounced, pdf_b, active, depth, sampler

    state = (ray, thr, rad, sees, bounced, pdf_b, active, depth, sampler)
    state = dr.while_loop(state, lambda ray, thr, rad, sees, bounced, pdf_b, active, depth, sampler: active, body, label="paths")
    return list(state[2])


def emission(shine: Any, power: Any, d: Any) -> tuple[Any, Any]:
    """What a window or lamp sends along -d: flat part and foliage part."""
    sky, leaves = outside(d)
    window = shine == 3
    return power * dr.select(window, sky, 1.0), power * dr.select(window, leaves, 0.0)


def top_of(bands: list[Any]) -> Any:
    """Largest of the bands."""
    top = bands[0]
    for b in bands[1:]:
        top = dr.maximum(top, b)
    return top


def render(scene: Scene, view: View, group: str, spp: int, seed: int, lanes: int = 1 << 24, limit: float = 1e9) -> np.ndarray:
    """Mean spectral radiance (16, h, w) under a light group, spp paths a pixel."""
    n = view.size[0] * view.size[1]
    per = max(1, min(spp, lanes // n))
    passes = -(-spp // per)
    total = [dr.zeros(Float, n) for _ in range(N)]
    for k in range(passes):
        pixel = dr.arange(UInt32, n * per) // dr.opaque(UInt32, per)
        sampler = mi.load_dict({"type": "independent", "sample_count": per})
        sampler.seed(dr.opaque(UInt32, seed * 7919 + k), n * per)
        dr.eval(pixel)
        values = radiance(scene, view, group, pixel, sampler, limit)
        dr.eval(values)  # else each sum below would trace anew
        total = [t + dr.block_sum(v, per) for t, v in zip(total, values, strict=True)]
        dr.eval(total)
    return np.stack([np.array(t) for t in total]).reshape(N, view.size[1], view.size[0]) / (per * passes)


def labels(scene: Scene, view: View) -> dict[str, np.ndarray]:
    """What each pixel's centre shows: object, surface, material, scale; (h, w) arrays."""
    n = view.size[0] * view.size[1]
    sampler = mi.load_dict({"type": "independent"})
    sampler.seed(1, n)
    si = scene.scene.ray_intersect(camera_rays(view, dr.arange(UInt32, n), sampler, 0.0))
    ok = si.is_valid()
    mat, scale, _, _ = scene.lookup(si, mi.Point2f(0.5), ok)
    surface = dr.gather(UInt32, scene.face_surface, si.prim_index, ok)
    thing = dr.gather(UInt32, scene.face_object, si.prim_index, ok)
    shape = (view.size[1], view.size[0])
    out = {"object": thing, "surface": surface, "material": mat}
    made = {k: np.array(dr.select(ok, v, 255)).astype(np.uint8).reshape(shape) for k, v in out.items()}
    made["scale"] = np.array(dr.select(ok, scale, 1.0), np.float32).reshape(shape)
    return made

"""A spectral path tracer: 16 bands along each path, Mitsuba 3 for the intersections only.

The diffuse part meets lights by next-event estimation and by hitting them, weighed with the balance heuristic;
the specular part (coat, metal) only by hitting them. The coat's diffuse part is scaled so that the 45:0 reflectance
factor, specular excluded, equals the material's reflectance.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from device import Bool, Float, UInt32, Vector3f, dr, mi
from model import View
from optics import F45, FOLIAGE, camera_rays, coat_normal, emission, fresnel
from scene import Scene
from spectra import BANDS

N = BANDS.size


def radiance(
    scene: Scene, view: View, group: str, pixel: Any, sampler: Any, limit: float, depth_limit: int = 12
) -> list[Any]:
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

    def body(
        ray: Any, thr: Any, rad: Any, sees: Any, bounced: Any, pdf_b: Any, active: Any, depth: Any, sampler: Any
    ) -> tuple[Any, ...]:
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
            depth > 0, dr.minimum(1.0, limit * dr.select(bounced, 1.0, 12.0) / dr.maximum(brightest, 1e-9)), 1.0
        )
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
        flat, leaves = emission(
            dr.gather(UInt32, scene.shine, lmat, able), dr.gather(Float, scene.power, lmat, able), d
        )
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
    state = dr.while_loop(
        state, lambda ray, thr, rad, sees, bounced, pdf_b, active, depth, sampler: active, body, label="paths"
    )
    return list(state[2])


def top_of(bands: list[Any]) -> Any:
    """Largest of the bands."""
    top = bands[0]
    for b in bands[1:]:
        top = dr.maximum(top, b)
    return top


def render(
    scene: Scene, view: View, group: str, spp: int, seed: int, lanes: int = 1 << 22, limit: float = 1e9
) -> np.ndarray:
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

"""Light at surfaces and windows: daylight seen through a pane, Fresnel, micro-normals, camera rays."""

from __future__ import annotations

from typing import Any

import numpy as np
from device import Float, UInt32, Vector3f, dr, mi
from model import View
from spectra import BANDS

FOLIAGE = np.interp(
    BANDS, [400, 480, 520, 550, 580, 620, 680, 700], [0.125, 0.135, 0.155, 0.18, 0.172, 0.16, 0.155, 0.18]
)


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


def coat_normal(frame: Any, alpha: Any, u: Any) -> Any:
    """A micro-normal of the GGX distribution about the frame."""
    a2 = alpha * alpha
    cos2 = (1 - u.x) / (1 + (a2 - 1) * u.x)
    cos_t, sin_t = dr.sqrt(cos2), dr.sqrt(dr.maximum(0, 1 - cos2))
    phi = dr.two_pi * u.y
    return dr.normalize(frame.to_world(Vector3f(sin_t * dr.cos(phi), sin_t * dr.sin(phi), cos_t)))


def emission(shine: Any, power: Any, d: Any) -> tuple[Any, Any]:
    """What a window or lamp sends along -d: flat part and foliage part."""
    sky, leaves = outside(d)
    window = shine == 3
    return power * dr.select(window, sky, 1.0), power * dr.select(window, leaves, 0.0)


def camera_rays(view: View, pixel: Any, sampler: Any, spread: float) -> Any:
    """Rays through the pixels; `spread` is the sigma of the Gaussian pixel filter, in pixels."""
    # Opaque values, so that one kernel serves every picture.
    width = dr.opaque(UInt32, view.size[0])
    centre = [dr.opaque(Float, view.size[k] / 2) for k in range(2)]
    focal = dr.opaque(Float, view.size[0] / 2 / np.tan(np.radians(view.fov) / 2))
    right, down, forward, eye = (
        Vector3f(*(dr.opaque(Float, float(c)) for c in axis)) for axis in (*view.frame(), view.eye)
    )
    u1, u2 = sampler.next_1d(), sampler.next_1d()
    r = spread * dr.sqrt(-2 * dr.log(dr.maximum(u1, 1e-7)))
    x = Float(pixel % width) + 0.5 + r * dr.cos(dr.two_pi * u2)
    y = Float(pixel // width) + 0.5 + r * dr.sin(dr.two_pi * u2)
    d = right * ((x - centre[0]) / focal) + down * ((y - centre[1]) / focal) + forward
    return mi.Ray3f(mi.Point3f(eye), dr.normalize(d))

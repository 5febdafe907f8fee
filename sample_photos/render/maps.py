"""Label maps: which material lies at each spot of a surface, how much its reflectance is scaled, how it tilts.

A texel is a 32-bit word: material (bits 0-7), scale of the reflectance (8-15: 0.5 + v / 256, mean 1 within a
material), tilt of the normal along u and v (16-23, 24-31: (v - 128) / 128). Maps repeat; lengths are metres.
Each texel has exactly one material, so true colours and their shares can be counted.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np

Array = np.ndarray


@dataclass(frozen=True)
class LabelMap:
    """Packed texels (h, w) uint32 and the size (width, height) of one period in metres."""

    texels: Array
    size: tuple[float, float]


def noise(shape: tuple[int, int], cells: tuple[int, int], rng: np.random.Generator, octaves: int = 1) -> Array:
    """Periodic value noise (h, w), about zero mean and unit spread; cells = bumps per period down and across."""
    total, weight = np.zeros(shape, np.float32), 0.0
    for k in range(octaves):
        rows, cols = cells[0] * 2**k, cells[1] * 2**k
        if rows > shape[0] or cols > shape[1]:
            rows, cols = min(rows, shape[0]), min(cols, shape[1])
        grid = rng.standard_normal((rows, cols)).astype(np.float32)
        padded = np.pad(grid, 3, mode="wrap")
        scale_y, scale_x = shape[0] / rows, shape[1] / cols
        matrix = np.array([[1 / scale_x, 0, 3.0], [0, 1 / scale_y, 3.0]], np.float32)
        layer = cv2.warpAffine(padded, matrix, (shape[1], shape[0]), flags=cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP)
        total += layer * 0.5**k
        weight += 0.25**k
    return total / np.float32(np.sqrt(weight) * 0.75)


def pack(labels: Array, scale: Array, size: tuple[float, float], tilt: tuple[Array, Array] | None = None) -> LabelMap:
    """Pack labels (h, w), reflectance scale (h, w) and tilts; the scale is made mean 1 within each material."""
    scale = np.asarray(scale, np.float32)
    counts = np.bincount(labels.ravel(), minlength=256)
    sums = np.bincount(labels.ravel(), weights=scale.ravel(), minlength=256)
    scale = scale / (sums / np.maximum(counts, 1)).astype(np.float32)[labels]
    word = labels.astype(np.uint32) | (np.clip((scale - 0.5) * 256, 0, 255).round().astype(np.uint32) << 8)
    tu, tv = tilt if tilt is not None else (np.float32(0), np.float32(0))
    for shift, t in ((16, tu), (24, tv)):
        word = word | (np.clip(np.asarray(t, np.float32) * 128 + 128, 0, 255).round().astype(np.uint32) << shift)
    return LabelMap(np.ascontiguousarray(np.broadcast_to(word, labels.shape)), size)


def plain(label: int) -> LabelMap:
    """One material everywhere."""
    return pack(np.full((1, 1), label, np.uint8), np.ones((1, 1)), (1.0, 1.0))


def _grid(size: tuple[float, float], per_m: float) -> tuple[tuple[int, int], Array, Array]:
    h, w = round(size[1] * per_m), round(size[0] * per_m)
    u = ((np.arange(w, dtype=np.float32) + 0.5) / per_m)[None, :]
    v = ((np.arange(h, dtype=np.float32) + 0.5) / per_m)[:, None]
    return (h, w), u, v


def paint(label: int, per_m: float, seed: int, strength: float = 0.06) -> LabelMap:
    """Brushed or rolled paint: one material, a slight orange peel in the normal."""
    rng = np.random.default_rng(seed)
    size = (0.6, 0.6)
    shape, _, _ = _grid(size, min(per_m, 1500))
    a, b = noise(shape, (150, 150), rng), noise(shape, (150, 150), rng)
    return pack(np.full(shape, label, np.uint8), 1 + 0.006 * noise(shape, (4, 4), rng, 3), size,
                (a * strength * 0.3, b * strength * 0.3))  # fmt: skip


def weave(labels: tuple[int, ...], stripes: Array, size: tuple[float, float], per_m: float, seed: int) -> LabelMap:
    """Woven cloth: across u the stripes (list of label indices, evenly spaced), threads 2 mm."""
    rng = np.random.default_rng(seed)
    shape, u, v = _grid(size, min(per_m, 1200))
    index = np.asarray(stripes)[np.minimum((u / size[0] * len(stripes)).astype(int), len(stripes) - 1)]
    lab = np.broadcast_to(np.asarray(labels, np.uint8)[index], shape)
    thread = 0.5 * np.sin(u * (2 * np.pi / 0.003)) * np.sin(v * (2 * np.pi / 0.003))
    return pack(lab.copy(), 1 + 0.22 * thread + 0.05 * noise(shape, (40, 40), rng, 2), size,
                (np.broadcast_to(0.25 * np.cos(u * (2 * np.pi / 0.003)), shape),
                 np.broadcast_to(0.25 * np.cos(v * (2 * np.pi / 0.003)), shape)))  # fmt: skip


def veined_stone(field: int, cloud: int, vein: int, per_m: float, seed: int) -> LabelMap:
    """Polished stone: a cloudy field, broad pale clouds and thin dark veins that branch."""
    rng = np.random.default_rng(seed)
    size = (2.6, 1.3)
    shape, _, _ = _grid(size, per_m)
    small = (shape[0] // 2, shape[1] // 2)
    up = lambda x: cv2.resize(x, (shape[1], shape[0]), interpolation=cv2.INTER_LINEAR)  # noqa: E731 - local shorthand
    base = noise(small, (2, 5), rng, 4)
    warp = noise(small, (3, 5), rng, 5)
    fine = noise(small, (60, 120), rng, 3)
    labels = np.full(shape, field, np.uint8)
    labels[up(noise(small, (3, 6), rng, 6) + 0.4 * warp + 0.05 * fine) > 1.05] = cloud
    width = up(0.016 + 0.020 * np.clip(noise(small, (4, 8), rng, 3) + 0.1, 0, 2))
    for weight in (0.55, 0.8):
        ridge = up(base + weight * warp + 0.012 * fine)
        dx, dy = np.gradient(cv2.GaussianBlur(ridge, (0, 0), 3))
        slope = np.sqrt(dx**2 + dy**2) * per_m + 1.2
        labels[np.abs(ridge) < width * 0.10 * slope + 0.002] = vein
        base = noise(small, (3, 4), rng, 4)
        width = width * 0.45
    scale = 1 + 0.020 * up(noise(small, (5, 10), rng, 5)) + 0.012 * up(fine)
    return pack(labels, scale, size)


def boards(tones: tuple[int, ...], gap: int, per_m: float, seed: int, *, width: float = 0.14,
           length: float = 1.25, rows: int = 16, figure: float = 0.10, joints: bool = True) -> LabelMap:  # fmt: skip
    """Floor boards along u: each board one tone, rings and pores as scale, dark gaps, eased edges."""
    rng = np.random.default_rng(seed)
    size = (length * 2, width * rows)
    shape, u, v = _grid(size, per_m)
    labels, scale = np.zeros(shape, np.uint8), np.ones(shape, np.float32)
    tilt_u, tilt_v = np.zeros(shape, np.float32), np.zeros(shape, np.float32)
    streak = noise(shape, (round(size[1] * 250), 6), rng, 2)
    pores = noise(shape, (round(size[1] * 500), 40), rng, 1)
    last = -1
    for row in range(rows):
        top, bottom = round(row * width * per_m), round((row + 1) * width * per_m)
        local = (v[top:bottom] - row * width) / width
        ends = (rng.uniform(0, length) + np.array([0, length * rng.uniform(0.75, 1.25)])) % size[0]
        first, second = sorted(ends)
        in_first = (u >= first) & (u < second)
        for part in (in_first, ~in_first):
            tone = rng.choice([t for t in range(len(tones)) if t != last or len(tones) < 3])
            last = tone
            ring = _rings(u, local, width, rng, size[0])
            cols = part[0]
            labels[top:bottom, cols] = tones[tone]
            scale[top:bottom, cols] = (1 + figure * ring + rng.uniform(-0.03, 0.03))[:, cols]
        edge = np.minimum(local, 1 - local) * width
        end = np.minimum(np.abs((u - first + size[0] / 2) % size[0] - size[0] / 2),
                         np.abs((u - second + size[0] / 2) % size[0] - size[0] / 2))  # fmt: skip
        labels[top:bottom][np.broadcast_to((edge < 0.0007), (bottom - top, shape[1])) | (end < 0.0007)] = gap
        tilt_v[top:bottom] += np.where(edge < 0.0035, np.where(local < 0.5, -0.5, 0.5), 0) + rng.uniform(-0.006, 0.006)
        tilt_u[top:bottom] += np.where(end < 0.003, 0.4, 0)
    if not joints:
        tilt_u, tilt_v = tilt_u * 0, tilt_v * 0
    scale *= 1 + figure * (0.35 * streak + 0.25 * pores)
    return pack(labels, np.clip(scale, 0.6, 1.45), size, (tilt_u, tilt_v + 0.02 * pores))


def _rings(u: Array, local: Array, width: float, rng: np.random.Generator, period: float) -> Array:
    """Growth-ring figure of one board, -1..1: straight grain, or cathedral arches about a wandering heart line."""
    k = 2 * np.pi / period
    heart = rng.uniform(-0.6, 1.6) + 0.12 * np.sin(k * u * rng.integers(1, 3) + rng.uniform(0, 6))
    across = (local - heart) * width
    taper = 0.00006 + 0.0016 * (1 + np.sin(k * u + rng.uniform(0, 6)))
    distance = np.sqrt(across**2 + taper * rng.uniform(0.1, 1.0))
    pitch = rng.uniform(0.006, 0.011)
    wave = 0.0018 * np.sin(k * u * 7 + rng.uniform(0, 6)) + 0.001 * np.sin(k * u * 17 + rng.uniform(0, 6))
    saw = ((distance + wave) / pitch) % 1.0
    return (saw**2 * 2 - 0.66).astype(np.float32)


def tiles(tones: tuple[int, ...], odds: tuple[float, ...], grout: int, per_m: float, seed: int, *,
          size: tuple[float, float] = (0.15, 0.075), joint: float = 0.003, shift: float = 0.5,
          grid: tuple[int, int] = (10, 12), rough: float = 0.0, uneven: float = 0.02) -> LabelMap:  # fmt: skip
    """Tiles or bricks in courses: tone per tile, recessed joints, each tile a little out of plane."""
    rng = np.random.default_rng(seed)
    whole = (size[0] * grid[0], size[1] * grid[1])
    shape, u, v = _grid(whole, per_m)
    wobble = 0.0006 + rough * 0.0009
    uu = u + wobble * noise(shape, (grid[1] * 6, grid[0] * 6), rng, 3)
    vv = v + wobble * noise(shape, (grid[1] * 6, grid[0] * 6), rng, 3)
    row = np.floor(vv / size[1]).astype(int) % grid[1]
    offset = (row % 2) * shift * size[0]
    col = np.floor((uu + offset) / size[0]).astype(int) % grid[0]
    fu, fv = ((uu + offset) / size[0]) % 1.0, (vv / size[1]) % 1.0
    edge_u, edge_v = np.minimum(fu, 1 - fu) * size[0], np.minimum(fv, 1 - fv) * size[1]
    is_grout = np.minimum(edge_u, edge_v) < joint / 2
    tone = rng.choice(len(tones), size=(grid[1], grid[0]), p=odds)
    labels = np.where(is_grout, grout, np.asarray(tones, np.uint8)[tone][row, col]).astype(np.uint8)
    lean = rng.normal(0, uneven, (2, grid[1], grid[0]))
    ease = 0.0035 + rough * 0.006
    tilt = []
    for axis, (edge, frac) in enumerate(((edge_u, fu), (edge_v, fv))):
        rim = np.clip(1 - (edge - joint / 2) / ease, 0, 1) * np.where(frac < 0.5, -0.55, 0.55)
        ripple = noise(shape, (grid[1] * 3, grid[0] * 3), rng, 2) * uneven * 0.9
        grain = noise(shape, (grid[1] * 20, grid[0] * 40), rng, 2) * rough * 0.3
        tilt.append(np.where(is_grout, grain, lean[axis][row, col] + rim + ripple + grain).astype(np.float32))
    speck = noise(shape, (grid[1] * 24, grid[0] * 48), rng, 3)
    per_tile = rng.normal(0, 0.012 + 0.07 * rough, (grid[1], grid[0]))[row, col]
    scale = 1 + np.where(is_grout, 0.03 * speck, per_tile + (0.008 + 0.11 * rough) * speck)
    return pack(labels, np.clip(scale, 0.55, 1.45), whole, (tilt[0], tilt[1]))


def terrazzo(base: int, chips: tuple[int, ...], odds: tuple[float, ...], per_m: float, seed: int, *,
             radius: tuple[float, float] = (0.002, 0.011), cover: float = 0.6) -> LabelMap:  # fmt: skip
    """Speckled stone: angular chips of several materials, of falling size, in a binder."""
    rng = np.random.default_rng(seed)
    size = (1.0, 1.0)
    shape, _, _ = _grid(size, per_m)
    labels = np.full(shape, base, np.uint8)
    covered = np.zeros(shape, np.uint8)
    target, filled = cover * labels.size, 0.0
    while filled < target:
        r = radius[0] * (radius[1] / radius[0]) ** (rng.random() ** 1.6)
        angles = np.sort(rng.uniform(0, 2 * np.pi, rng.integers(5, 9)))
        spokes = r * rng.uniform(0.7, 1.15, angles.size)
        centre = rng.random(2) * size
        shape_pts = np.stack([np.cos(angles) * spokes, np.sin(angles) * spokes * rng.uniform(0.6, 1)], axis=1)
        pts = np.round((centre + shape_pts) * per_m * 16).astype(np.int32)
        probe = np.clip((pts.mean(axis=0) / 16).astype(int), 0, np.array(shape[::-1]) - 1)
        if covered[probe[1], probe[0]]:
            filled += 0.02 * r * r * per_m**2
            continue
        cv2.fillPoly(labels, [pts], int(rng.choice(chips, p=odds)), lineType=cv2.LINE_8, shift=4)
        cv2.fillPoly(covered, [pts], 1, lineType=cv2.LINE_8, shift=4)
        filled += 2.2 * r * r * per_m**2
    return pack(labels, 1 + 0.025 * noise(shape, (60, 60), rng, 4), size)


Maker = Callable[[float], LabelMap]

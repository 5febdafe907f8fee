"""Builds one triangle mesh of a room: boxes with eased edges, turned shapes, tubes, cushions, cloth, leaves.

Lengths are metres, z is up. Every face carries the number of its surface; texture coordinates are metres too.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager

import numpy as np

Array = np.ndarray


def rotation(axis: str, degrees: float) -> Array:
    """4x4 rotation about one axis."""
    a = np.radians(degrees)
    c, s = np.cos(a), np.sin(a)
    m = np.eye(4)
    i, j = {"x": (1, 2), "y": (2, 0), "z": (0, 1)}[axis]
    m[i, i], m[i, j], m[j, i], m[j, j] = c, -s, s, c
    return m


def move(x: float, y: float, z: float) -> Array:
    """4x4 translation."""
    m = np.eye(4)
    m[:3, 3] = (x, y, z)
    return m


class Builder:
    """Collects triangles; `at` places what is built inside it."""

    def __init__(self) -> None:
        self.surfaces: list[str] = []
        self.objects: list[str] = []
        self._parts: list[tuple[Array, Array, Array, Array, int, int]] = []
        self._place = np.eye(4)
        self._object = 0
        self._turn = False

    @contextmanager
    def at(self, *transforms: Array) -> Iterator[None]:
        """Apply the transforms (first one outermost) to everything built in the block."""
        before = self._place
        for t in transforms:
            self._place = self._place @ t
        yield
        self._place = before

    @contextmanager
    def thing(self, name: str) -> Iterator[None]:
        """Everything built in the block belongs to that named object."""
        before = self._object
        if name not in self.objects:
            self.objects.append(name)
        self._object = self.objects.index(name)
        yield
        self._object = before

    @contextmanager
    def grain_turned(self) -> Iterator[None]:
        """Swap texture axes in the block, so that grain runs the other way."""
        self._turn = not self._turn
        yield
        self._turn = not self._turn

    def add(self, v: Array, n: Array, uv: Array, f: Array, surface: str) -> None:
        """Add vertices (k, 3), normals (k, 3), metres (k, 2) and triangles (m, 3)."""
        if surface not in self.surfaces:
            self.surfaces.append(surface)
        if self._turn:
            uv = uv[:, ::-1]
        v = v @ self._place[:3, :3].T + self._place[:3, 3]
        n = n @ self._place[:3, :3].T
        n = n / np.maximum(np.linalg.norm(n, axis=1, keepdims=True), 1e-12)
        self._parts.append((v, n, uv, f, self.surfaces.index(surface), self._object))

    def arrays(self) -> dict[str, Array]:
        """The mesh: v, n, uv, f, and per face its surface and object."""
        starts = np.cumsum([0] + [len(p[0]) for p in self._parts])
        return {
            "v": np.concatenate([p[0] for p in self._parts]).astype(np.float32),
            "n": np.concatenate([p[1] for p in self._parts]).astype(np.float32),
            "uv": np.concatenate([p[2] for p in self._parts]).astype(np.float32),
            "f": np.concatenate([p[3] + s for p, s in zip(self._parts, starts, strict=False)]).astype(np.uint32),
            "surface": np.concatenate([np.full(len(p[3]), p[4]) for p in self._parts]).astype(np.uint32),
            "object": np.concatenate([np.full(len(p[3]), p[5]) for p in self._parts]).astype(np.uint32),
        }

    def quad(self, corners: Sequence[Sequence[float]], surface: str, uv: Array | None = None) -> None:
        """Four corners, counter-clockwise seen from its front."""
        v = np.array(corners, float)
        n = np.cross(v[1] - v[0], v[2] - v[0])
        if uv is None:
            uv = self._plane_uv(v, n)
        self.add(v, np.repeat(n[None] / np.linalg.norm(n), 4, 0), uv, np.array([[0, 1, 2], [0, 2, 3]]), surface)

    @staticmethod
    def _plane_uv(v: Array, n: Array) -> Array:
        axis = int(np.argmax(np.abs(n)))
        return v[:, [[1, 2], [0, 2], [0, 1]][axis]]

    def box(self, low: Sequence[float], high: Sequence[float], surface: str, ease: float = 0.0015) -> None:
        """Axis-aligned box with chamfered edges; texture is projected along the face's axis."""
        lo, hi = np.minimum(low, high).astype(float), np.maximum(low, high).astype(float)
        e = min(ease, 0.3 * float((hi - lo).min()))
        centre = (lo + hi) / 2
        signs = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
        for axis in range(3):
            o = [k for k in range(3) if k != axis]
            for side in (-1, 1):
                v = np.empty((4, 3))
                v[:, axis] = lo[axis] if side < 0 else hi[axis]
                for k, col in enumerate(o):
                    v[:, col] = np.where(signs[:, k] < 0, lo[col] + e, hi[col] - e)
                self._facing(v, centre, surface)
        for axis in range(3):
            o = [k for k in range(3) if k != axis]
            for sa, sb in signs:
                ca, cb = (lo, hi)[int(sa > 0)][o[0]], (lo, hi)[int(sb > 0)][o[1]]
                v = np.empty((4, 3))
                v[:, axis] = [lo[axis] + e, hi[axis] - e, hi[axis] - e, lo[axis] + e]
                v[:, o[0]] = [ca, ca, ca - sa * e, ca - sa * e]
                v[:, o[1]] = [cb - sb * e, cb - sb * e, cb, cb]
                self._facing(v, centre, surface)

    def _facing(self, v: Array, centre: Array, surface: str) -> None:
        n = np.cross(v[1] - v[0], v[2] - v[0])
        self.quad(v if n @ (v.mean(axis=0) - centre) > 0 else v[::-1], surface)

    def grid(self, points: Array, uv: Array, surface: str, *, wrap: bool = False) -> None:
        """A smooth surface through points (a, b, 3); `wrap` closes it along b for the normals' sake."""
        du = np.gradient(points, axis=0)
        if wrap:
            padded = np.concatenate([points[:, -2:-1], points, points[:, 1:2]], axis=1)
            dv = (padded[:, 2:] - padded[:, :-2]) / 2
        else:
            dv = np.gradient(points, axis=1)
        n = np.cross(du, dv).reshape(-1, 3)
        bad = np.linalg.norm(n, axis=1) < 1e-14
        n[bad] = (0, 0, 1)
        a, b = points.shape[:2]
        i = (np.arange(a - 1)[:, None] * b + np.arange(b - 1)[None, :]).ravel()
        f = np.concatenate([np.stack([i, i + 1, i + b], 1), np.stack([i + 1, i + b + 1, i + b], 1)])
        self.add(points.reshape(-1, 3), n, uv.reshape(-1, 2), f, surface)

    def lathe(self, profile: Sequence[tuple[float, float]], surface: str, steps: int = 72, *, smooth: int = 0) -> None:
        """Turn (radius, height) points about z; segments are facets unless `smooth` subdivides them to a curve."""
        p = np.array(profile, float)
        if smooth:
            t = np.linspace(0, len(p) - 1, (len(p) - 1) * smooth + 1)
            p = np.stack([_catmull(p[:, k], t) for k in range(2)], axis=1)
            p[:, 0] = np.maximum(p[:, 0], 0)
            self._turned(p, surface, steps)
        else:
            for k in range(len(p) - 1):
                self._turned(p[k : k + 2], surface, steps)

    def _turned(self, p: Array, surface: str, steps: int) -> None:
        a = np.linspace(0, 2 * np.pi, steps + 1)
        ring = np.stack([np.cos(a), np.sin(a)], 1)
        points = np.concatenate([p[:, None, :1] * ring[None], np.repeat(p[:, None, 1:], steps + 1, 1)], axis=2)
        run = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(p, axis=0), axis=1))])
        uv = np.stack(np.broadcast_arrays(a[None] * p[:, 0].max(), run[:, None]), axis=2)
        d = np.gradient(p, axis=0)
        n = np.stack([d[:, 1:] * np.cos(a), d[:, 1:] * np.sin(a), np.repeat(-d[:, :1], steps + 1, 1)], axis=2)
        rows, cols = points.shape[:2]
        i = (np.arange(rows - 1)[:, None] * cols + np.arange(cols - 1)[None, :]).ravel()
        f = np.concatenate([np.stack([i, i + 1, i + cols], 1), np.stack([i + 1, i + cols + 1, i + cols], 1)])
        self.add(points.reshape(-1, 3), n.reshape(-1, 3), uv.reshape(-1, 2), f, surface)

    def tube(self, path: Sequence[Sequence[float]], radius: float, surface: str, smooth: int = 6) -> None:
        """A round bar along the path, its corners rounded by a spline."""
        p = np.array(path, float)
        t = np.linspace(0, len(p) - 1, (len(p) - 1) * smooth + 1)
        p = np.stack([_catmull(p[:, k], t) for k in range(3)], axis=1)
        tangent = np.gradient(p, axis=0)
        tangent /= np.linalg.norm(tangent, axis=1, keepdims=True)
        side = np.cross(tangent[0], [0.3, 0.2, 0.9])
        a = np.linspace(0, 2 * np.pi, 21)
        rings = []
        for point, along in zip(p, tangent, strict=True):
            side = side - along * (side @ along)
            side /= np.linalg.norm(side)
            other = np.cross(along, side)
            rings.append(point + radius * (np.cos(a)[:, None] * side + np.sin(a)[:, None] * other))
        points = np.array(rings)
        run = np.linspace(0, 1, len(p))
        self.grid(points, np.stack(np.broadcast_arrays(run[:, None], a[None] * radius), 2), surface, wrap=True)

    def cushion(self, half: Sequence[float], surface: str, power: float = 0.35, dent: float = 0.0) -> None:
        """Superellipsoid with half sizes (3,): a rounded box for small powers; `dent` sinks its top."""
        a = np.linspace(-np.pi / 2, np.pi / 2, 49)
        b = np.linspace(-np.pi, np.pi, 97)
        sp = lambda x: np.sign(x) * np.abs(x) ** power  # noqa: E731 - local shorthand
        x = half[0] * sp(np.cos(a))[:, None] * sp(np.cos(b))[None]
        y = half[1] * sp(np.cos(a))[:, None] * sp(np.sin(b))[None]
        z = half[2] * np.repeat(sp(np.sin(a))[:, None], b.size, 1)
        z = z - dent * np.exp(-((x / half[0]) ** 2 + (y / half[1]) ** 2) * 2) * (z > 0)
        self.grid(np.stack([x, y, z], 2), np.stack([x, y + z], 2), surface, wrap=True)

    def cloth(self, width: float, drop: float, surface: str, *, waves: float = 3.0, depth: float = 0.012) -> None:
        """A hanging cloth in the xz plane, facing -y, with soft folds growing downwards."""
        u, w = np.linspace(0, width, 60), np.linspace(0, drop, 40)
        fold = depth * np.sin(u / width * 2 * np.pi * waves)[:, None] * (0.25 + 0.75 * w / drop)[None]
        fold = fold + 0.3 * depth * np.sin(u / width * 2 * np.pi * waves * 2.3 + 1)[:, None] * (w / drop)[None]
        points = np.stack(np.broadcast_arrays(u[:, None] - width / 2, fold, -w[None]), 2)
        self.grid(points, np.stack(np.broadcast_arrays(u[:, None], w[None]), 2), surface)

    def leaf(self, length: float, width: float, bend: float, surface: str) -> None:
        """A leaf from the origin along +x, bending down by `bend` radians over its length."""
        t, s = np.linspace(0, 1, 15), np.linspace(-1, 1, 7)
        angle = bend * t
        x = np.concatenate([[0], np.cumsum(np.cos(angle[1:]) * length / 14)])
        z = np.concatenate([[0], np.cumsum(-np.sin(angle[1:]) * length / 14)])
        half = width / 2 * np.sin(np.pi * np.clip(t * 0.96 + 0.04, 0, 1) ** 0.8)
        points = np.stack(
            [np.repeat(x[:, None], 7, 1), half[:, None] * s, z[:, None] - 0.25 * half[:, None] * (1 - np.abs(s))], 2
        )
        self.grid(points, points[..., :2], surface)


def _catmull(values: Array, t: Array) -> Array:
    """Catmull-Rom spline through the values at 0, 1, 2 ... read at t."""
    v = np.concatenate([[2 * values[0] - values[1]], values, [2 * values[-1] - values[-2]]])
    i = np.clip(np.floor(t).astype(int), 0, len(values) - 2)
    f = t - i
    a, b, c, d = v[i], v[i + 1], v[i + 2], v[i + 3]
    return 0.5 * (2 * b + (c - a) * f + (2 * a - 5 * b + 4 * c - d) * f**2 + (3 * b - a - 3 * c + d) * f**3)

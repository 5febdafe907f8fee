"""Furniture and household things that both rooms share, built from geometry's shapes."""

from __future__ import annotations

import itertools

import numpy as np
from geometry import Builder, move, rotation
from model import Material, Room


def shell(room: Room, size: tuple[float, float, float], left: list[tuple[float, float, float, float]],
          front: tuple[float, float, float, float], wall: str, ceiling: str, floor: str,
              trim: str) -> None:  # fmt: skip
    """Four walls, floor, ceiling; windows in the left wall (y0, y1, z0, z1) and one behind the camera."""
    b = room.build
    w, d, h = size
    with b.thing("floor"):
        b.quad([[0, 0, 0], [w, 0, 0], [w, d, 0], [0, d, 0]], floor)
    with b.thing("ceiling"):
        b.quad([[0, 0, h], [0, d, h], [w, d, h], [w, 0, h]], ceiling)
    with b.thing("walls"):
        b.quad([[0, d, 0], [w, d, 0], [w, d, h], [0, d, h]], wall)
        b.quad([[w, 0, 0], [w, 0, h], [w, d, h], [w, d, 0]], wall)
    wall_with_windows(room, d, h, left, wall, trim)
    x0, x1, z0, z1 = front
    with b.at(move(w, 0, 0), rotation("z", 90)):
        wall_with_windows(room, w, h, [(w - x1, w - x0, z0, z1)], wall, trim)


def wall_with_windows(room: Room, length: float, h: float, windows: list[tuple[float, float, float, float]],
                      wall: str, trim: str) -> None:  # fmt: skip
    """A wall in the plane x = 0 facing +x, from y = 0 to length, with windows (y0, y1, z0, z1) in order of y."""
    b, y = room.build, 0.0
    with b.thing("walls"):
        for y0, y1, z0, z1 in windows:
            b.quad([[0, y, 0], [0, y0, 0], [0, y0, h], [0, y, h]], wall)
            b.quad([[0, y0, 0], [0, y1, 0], [0, y1, z0], [0, y0, z0]], wall)
            b.quad([[0, y0, z1], [0, y1, z1], [0, y1, h], [0, y0, h]], wall)
            y = y1
        b.quad([[0, y, 0], [0, length, 0], [0, length, h], [0, y, h]], wall)
    for y0, y1, z0, z1 in windows:
        window(room, y0, y1, z0, z1, trim)


def window(room: Room, y0: float, y1: float, z0: float, z1: float, trim: str) -> None:
    """A window in the wall x = 0: frame, bars, architrave, sill, and the daylight close behind."""
    b = room.build
    deep = 0.07
    with b.thing("window"):
        for ya, yb in ((y0 - 0.07, y0 + 0.012), (y1 - 0.012, y1 + 0.07)):
            b.box((-deep, ya, z0 - 0.02), (0.016, yb, z1 + 0.07), trim, 0.005)
        b.box((-deep, y0, z1 - 0.012), (0.016, y1, z1 + 0.07), trim, 0.005)
        b.box((-deep, y0 - 0.09, z0 - 0.035), (0.11, y1 + 0.09, z0), trim, 0.006)
        f, x = 0.055, -0.055
        for ya, yb in ((y0, y0 + f), (y1 - f, y1)):
            b.box((x, ya, z0), (x + 0.045, yb, z1), trim, 0.005)
        for za, zb in ((z0, z0 + f + 0.01), (z1 - f, z1)):
            b.box((x, y0 + f, za), (x + 0.045, y1 - f, zb), trim, 0.005)
        leaves = max(1, round((y1 - y0) / 0.7))
        for k in range(1, leaves):
            y = y0 + (y1 - y0) * k / leaves
            b.box((x, y - 0.035, z0 + f), (x + 0.045, y + 0.035, z1 - f), trim, 0.005)
        z = z0 + (z1 - z0) * 0.66
        b.box((x + 0.01, y0 + f, z - 0.013), (x + 0.035, y1 - f, z + 0.013), trim, 0.004)
        b.quad([[-deep, y0, z0], [-deep, y1, z0], [-deep, y1, z1], [-deep, y0, z1]], "daylight")


def lamps(room: Room, groups: dict[str, float]) -> None:
    """Register the window's and the lamps' emitting materials and surfaces."""
    from maps import plain

    room.materials["daylight"] = Material((100, 0, 0), "window", flat=1.0, group="window")
    room.maps["daylight"] = plain(room.number("daylight"))
    for name, power in groups.items():
        room.materials[name] = Material((100, 0, 0), "lamp", flat=0.78, group=name, power=power)
        room.maps[name] = plain(room.number(name))


def door_front(b: Builder, x0: float, x1: float, z0: float, z1: float, y: float, face: str, metal: str,
               handle: str = "bar", rail: float = 0.07) -> None:  # fmt: skip
    """A framed cabinet door in the xz plane facing -y at depth y, with a handle."""
    g = 0.0015
    x0, x1, z0, z1 = x0 + g, x1 - g, z0 + g, z1 - g
    b.box((x0, y + 0.008, z0), (x1, y + 0.022, z1), face, 0.001)
    for a, c in (((x0, z0), (x0 + rail, z1)), ((x1 - rail, z0), (x1, z1)),
                 ((x0 + rail, z0), (x1 - rail, z0 + rail)), ((x0 + rail, z1 - rail), (x1 - rail, z1))):  # fmt: skip
        b.box((a[0], y, a[1]), (c[0], y + 0.012, c[1]), face, 0.0022)
    if handle == "knob":
        with b.at(move((x0 if x1 > 1.9 else x1 - rail) + rail / 2, y, z1 - rail / 2 - 0.02), rotation("x", 90)):
            b.lathe([(0.0, 0.03), (0.012, 0.029), (0.016, 0.022), (0.009, 0.013), (0.007, 0.0)], metal, 32, smooth=4)
    elif handle == "bar":
        mid, z = (x0 + x1) / 2, z1 - rail / 2
        b.tube([(mid - 0.07, y, z), (mid - 0.07, y - 0.03, z), (mid + 0.07, y - 0.03, z), (mid + 0.07, y, z)],
               0.0055, metal, 8)  # fmt: skip


def drawer_front(b: Builder, x0: float, x1: float, z0: float, z1: float, y: float, face: str, metal: str) -> None:
    """A plain drawer front with a cup-like bar handle."""
    g = 0.0015
    b.box((x0 + g, y, z0 + g), (x1 - g, y + 0.022, z1 - g), face, 0.0022)
    mid, z = (x0 + x1) / 2, (z0 + z1) / 2
    b.tube([(mid - 0.07, y, z), (mid - 0.07, y - 0.03, z), (mid + 0.07, y - 0.03, z), (mid + 0.07, y, z)],
           0.0055, metal, 8)  # fmt: skip


def kettle(b: Builder, body: str, dark: str, metal: str) -> None:
    """A stove kettle, base at the origin, spout to +x."""
    b.lathe([(0, 0), (0.088, 0.0), (0.098, 0.02), (0.097, 0.07), (0.078, 0.125), (0.045, 0.15)], body, smooth=8)
    b.lathe([(0.047, 0.149), (0.040, 0.157), (0.012, 0.163), (0, 0.164)], body, smooth=6)
    with b.at(move(0, 0, 0.162)):
        b.lathe([(0.006, 0), (0.007, 0.01), (0.015, 0.018), (0.011, 0.030), (0, 0.032)], dark, 32, smooth=5)
    b.tube([(0.082, 0, 0.055), (0.115, 0, 0.075), (0.135, 0, 0.120), (0.150, 0, 0.140)], 0.013, body)
    b.tube([(-0.075, 0, 0.125), (-0.07, 0, 0.20), (0.0, 0, 0.235), (0.07, 0, 0.20), (0.075, 0, 0.125)], 0.008, dark)


def mug(b: Builder, glaze: str) -> None:
    """A mug, base at the origin, handle to +x."""
    b.lathe([(0, 0), (0.034, 0), (0.039, 0.006), (0.040, 0.05), (0.041, 0.09), (0.0395, 0.092), (0.037, 0.09),
             (0.036, 0.05), (0.034, 0.010), (0, 0.008)], glaze, smooth=5)  # fmt: skip
    b.tube([(0.038, 0, 0.075), (0.066, 0, 0.072), (0.068, 0, 0.035), (0.038, 0, 0.022)], 0.0055, glaze)


def bowl(b: Builder, glaze: str, radius: float = 0.14, height: float = 0.085) -> None:
    """A wide bowl, base at the origin."""
    r, h = radius, height
    b.lathe([(0, 0.004), (0.40 * r, 0.0), (0.42 * r, 0.010), (0.75 * r, 0.42 * h), (0.95 * r, 0.82 * h), (r, h),
             (0.985 * r, h * 1.01), (0.93 * r, 0.82 * h), (0.70 * r, 0.40 * h), (0.3 * r, 0.014), (0, 0.013)],
            glaze, smooth=5)  # fmt: skip


def round_fruit(b: Builder, skin: str, stalk: str, radius: float = 0.038) -> None:
    """An apple or orange resting on the origin."""
    r = radius
    b.lathe([(0, 0.10 * r), (0.45 * r, 0.02 * r), (0.92 * r, 0.55 * r), (r, 1.05 * r), (0.72 * r, 1.72 * r),
             (0.28 * r, 1.84 * r), (0, 1.66 * r)], skin, 48, smooth=6)  # fmt: skip
    b.tube([(0, 0, 1.64 * r), (0.03 * r, 0, 1.9 * r), (0.15 * r, 0, 2.2 * r)], 0.05 * r, stalk, 3)


def jar(b: Builder, body: str, lid: str, radius: float = 0.05, height: float = 0.15) -> None:
    """A storage jar with a turned lid."""
    r, h = radius, height
    b.lathe([(0, 0), (0.92 * r, 0), (r, 0.04 * h), (r, 0.8 * h), (0.94 * r, 0.9 * h), (0.8 * r, 0.93 * h)], body,
            smooth=4)  # fmt: skip
    b.lathe([(0, 0.925 * h), (0.88 * r, 0.925 * h), (0.9 * r, 0.95 * h), (0.88 * r, 1.03 * h), (0, 1.04 * h)], lid)


def plate(b: Builder, glaze: str, radius: float = 0.13) -> None:
    """A plate standing on edge against y = 0, leaning back, seen from -y."""
    with b.at(move(0, 0, radius * 0.98), rotation("x", 78)):
        b.lathe([(0, -0.004), (0.6 * radius, -0.004), (0.66 * radius, 0.0), (radius, 0.013), (0.99 * radius, 0.016),
                 (0.66 * radius, 0.006), (0.6 * radius, 0.002), (0, 0.002)], glaze, smooth=3)  # fmt: skip


def plant(b: Builder, pot: str, soil: str, leaf: str, *, leaves: int = 26, size: float = 0.2, seed: int = 3,
          pot_size: float = 0.07) -> None:  # fmt: skip
    """A leafy pot plant, base at the origin."""
    rng = np.random.default_rng(seed)
    r = pot_size
    b.lathe([(0, 0), (0.72 * r, 0), (r, 1.7 * r), (1.06 * r, 1.7 * r), (1.06 * r, 1.95 * r), (0.96 * r, 1.95 * r),
             (0.92 * r, 1.6 * r)], pot)  # fmt: skip
    b.lathe([(0.95 * r, 1.72 * r), (0, 1.76 * r)], soil)
    for k in range(leaves):
        lift = -rng.uniform(15, 80)
        length = size * rng.uniform(0.6, 1.1)
        with b.at(move(0, 0, 1.75 * r), rotation("z", k * 137.5 + rng.uniform(-15, 15)), rotation("y", lift)):
            stem = 0.35 * length
            b.tube([(0, 0, 0), (stem / 2, 0, 0.002), (stem, 0, 0)], 0.0016, leaf, 2)
            with b.at(move(stem, 0, 0)):
                b.leaf(length, 0.30 * length, rng.uniform(0.5, 1.5), leaf)


def books(b: Builder, covers: list[str], page: str, width: float, seed: int) -> None:
    """A row of books along +x standing on the origin, spines to -y."""
    rng = np.random.default_rng(seed)
    x = 0.0
    while True:
        t, h, d = rng.uniform(0.014, 0.042), rng.uniform(0.19, 0.27), rng.uniform(0.13, 0.17)
        if x + t > width:
            return
        cover = covers[int(rng.integers(len(covers)))]
        b.box((x, 0, 0), (x + t, d, h), cover, 0.0025)
        b.box((x + 0.002, 0.004, h - 0.004), (x + t - 0.002, d - 0.004, h + 0.0004), page, 0.0002)
        x += t + 0.0008


def pendant(b: Builder, outside: str, inside: str, bulb: str, cord: str, height: float) -> None:
    """An enamel shade whose rim is at the origin, hung from `height` above it; the bulb's disc looks down."""
    profile = [(0.155, 0.0), (0.150, 0.03), (0.125, 0.085), (0.07, 0.13), (0.03, 0.15), (0.028, 0.19), (0.0, 0.192)]
    b.lathe(profile, outside, smooth=6)
    b.lathe([(max(r - 0.003, 0), z - 0.003 if r < 0.15 else z) for r, z in profile], inside, smooth=6)
    b.tube([(0, 0, 0.19), (0, 0, height / 2), (0, 0, height)], 0.003, cord, 2)
    b.lathe([(0.045, 0.075), (0.038, 0.10), (0.02, 0.13)], inside, smooth=3)
    a = np.linspace(0, 2 * np.pi, 25)
    for p, q in itertools.pairwise(a):
        c = [
            (0, 0, 0.068),
            (0.045 * np.cos(q), 0.045 * np.sin(q), 0.075),
            (0.045 * np.cos(p), 0.045 * np.sin(p), 0.075),
        ]
        b.quad([c[0], c[1], c[2], c[2]], bulb)

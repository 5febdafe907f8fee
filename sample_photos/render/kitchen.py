"""The kitchen: veined stone worktop, oak boards, glazed tile, painted cabinets. An invented room."""

from __future__ import annotations

import functools
import itertools
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import maps
import numpy as np
import parts
from geometry import move, rotation
from model import NO_PAINTS, Room, View, read_materials

W, D, H = 3.8, 4.4, 2.55
FRONT, TOP = 3.80, 0.91

SURFACES = {"worktop": "stone", "floor": "timber", "tile": "tile", "cabinets": "paint"}
# Level tops (x0, x1, y0, y1, z): outlines of these surfaces leave the front edge out.
TOPS = {"worktop": [(0.0, 3.2, 3.785, D, TOP), (0.0, 0.625, 1.485, 3.785, TOP)]}
ROLES = {"walls": "wall", "cabinets": "cabinets"}
PAINTS = {"walls": "wall paint", "cabinets": "cabinet paint"}

ROOM_HEAD = """[room]
name = "Hazel Close kitchen"
kind = "kitchen"
facing = "E"
latitude = 53.4
lamps_k = 2700
country = "GB"
built = 1931

[wishes]
warmth = "either"
roles = ["walls", "trim"]

[sizes]
units = "metres"
length = 4.4
width = 3.8
height = 2.55
openings = 16.5         # windows 7.5; the rest is tile, and wall behind cupboards
trim = 25.0             # skirting and the frames of two windows
cabinets = 6.0"""

VIEWS = {
    "whole": View((2.62, 0.30, 1.50), (1.62, 4.0, 1.02), 66.0, (1600, 1200), 0.4),
    "worktop": View((1.02, 1.20, 1.46), (0.36, 1.98, 0.90), 58.0, roll=-1.0),
    "worktop far": View((2.42, 3.02, 1.50), (2.66, 4.02, 0.93), 54.0, roll=-1.0),
    "tile aside": View((0.42, 3.62, 1.36), (1.08, 4.4, 1.17), 56.0, roll=0.6),
    "floor": View((2.30, 1.25, 1.38), (2.20, 2.45, 0.0), 60.0, (900, 1200), roll=2.0),
    "tile": View((0.98, 3.28, 1.34), (1.10, 4.4, 1.17), 56.0, roll=0.6),
    "cabinets": View((1.32, 2.55, 0.98), (1.12, 3.8, 0.55), 56.0, roll=-0.8),
    "corner": View((1.85, 2.45, 1.55), (0.82, 4.2, 0.98), 56.0, roll=0.5),
    "pendant": View((2.20, 2.68, 1.50), (2.66, 4.2, 1.10), 58.0, roll=-0.5),
}


def lay_cards(room: Room, which: str) -> None:
    """Lay one set of cards: `whole:one`, `worktop:trio` and so on."""
    shot, kind = which.split(":")
    lay = {
        "whole": ((2.14, 3.02, 0), (0.10, 0.012, 0), (-0.009, 0.075, 0), "floor"),
        "worktop": ((0.36, 1.90, TOP), (0.042, -0.036, 0), (0.036, 0.042, 0), "worktop"),
        "worktop far": ((2.70, 3.98, TOP), (0.05, 0.010, 0), (-0.012, 0.06, 0), "worktop"),
        "tile aside": ((1.02, D - 0.0085, 1.17), (0.050, 0, 0.002), (-0.002, 0, 0.062), "tile"),
        "floor": ((2.22, 2.30, 0), (0.05, 0.012, 0), (-0.015, 0.062, 0), "floor"),
        "tile": ((1.12, D - 0.0085, 1.18), (0.042, 0, 0.002), (-0.002, 0, 0.055), "tile"),
        "cabinets": ((0.925, FRONT + 0.008, 0.50), (0.045, 0, 0.001), (-0.001, 0, 0.06), "cabinets"),
    }
    extra = {
        "whole": [((2.72, D - 0.0085, 1.24), (0.062, 0, 0),
            (0, 0, 0.085), "tile")] if kind == "trio" else [lay["whole"]],
        "corner": [((0.92, 3.98, TOP), (0.055, 0.005, 0), (-0.005, 0.06, 0), "worktop"),
                   ((1.00, D - 0.0085, 1.20), (0.05, 0, 0.001), (-0.001, 0, 0.06), "tile"),
                   ((0.925, FRONT + 0.008, 0.52), (0.048, 0, 0.001), (-0.001, 0, 0.06), "cabinets")],
        "pendant": [((2.66, 3.97, TOP), (0.05, 0.004, 0), (-0.004, 0.055, 0), "worktop"),
                    ((2.74, D - 0.0085, 1.22), (0.05, 0, 0.001), (-0.001, 0, 0.06), "tile"),
                    ((2.95, FRONT + 0.008, 0.55), (0.05, 0, 0.001), (-0.001, 0, 0.06), "cabinets")],
    }  # fmt: skip
    for centre, across, along, on in extra.get(shot, [lay[shot]] if shot in lay else []):
        if kind == "trio":
            room.trio(centre, across, along, on)
        elif kind == "one":
            room.card(centre, across, along, 0.18, on)


def palette(room: Room, paints: Mapping[str, tuple[float, float, float]]) -> None:
    """Every material of the room, the roles in `paints` in another paint."""
    room.materials |= read_materials(Path(__file__).with_name("kitchen_materials.csv"))
    for role, lab in paints.items():
        room.materials[PAINTS[role]] = replace(room.materials[PAINTS[role]], lab=lab)


@functools.lru_cache(maxsize=4)
def label_maps(per_m: float) -> dict[str, maps.LabelMap]:
    """The patterned surfaces; made once and shared by every picture."""
    room = Room("", "")
    palette(room, {})
    k = room.number
    oak = (k("oak light"), k("oak mid"), k("oak deep"))
    glaze = (k("glaze"), k("glaze pale"), k("glaze deep"))
    return {
        "worktop": maps.veined_stone(k("stone"), k("cloud"), k("vein"), per_m * 0.9, 11),
        "floor": maps.boards(oak, k("gap"), per_m * 0.62, 5, figure=0.15),
        "tile": maps.tiles(glaze, (0.62, 0.2, 0.18), k("grout"), per_m * 0.75, 8),
        "oak": maps.boards((k("oak mid"),), k("oak mid"), per_m * 0.5, 9, width=0.42, length=1.5, rows=3,
            figure=0.12, joints=False),
        "cabinets": maps.paint(k("cabinet paint"), per_m, 2, 0.045),
        "wall": maps.paint(k("wall paint"), per_m, 3, 0.10),
        "rug": maps.weave((k("rug base"), k("rug rust"), k("rug blue")),
                          np.array([1, 0, 0, 2, 0, 0, 0, 1, 1, 0, 2, 2, 0, 1, 1, 0, 0, 0, 2, 0, 0, 1]),
                              (0.66, 0.3), per_m, 4),
        "towel": maps.weave((k("linen"), k("stripe")),
                            np.array([0, 0, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 0, 1, 0, 0, 0]),
                                (0.42, 0.3), per_m, 6),
    }  # fmt: skip


def build(per_m: float, cards: str, paints: Mapping[str, tuple[float, float, float]] = NO_PAINTS) -> Room:
    """The whole room with one set of cards; per_m is the resolution of the maps, texels per metre.

    `paints` (CIELAB by role) replaces the room's own.
    """
    room = Room("kitchen", "Hazel Close kitchen")
    palette(room, paints)
    room.maps |= label_maps(per_m)
    for name in ("trim paint", "ceiling paint", "steel", "brass", "black iron", "black glass", "white glaze",
        "blue glaze",
                 "ochre glaze", "stoneware", "terracotta", "enamel", "lemon", "apple", "green apple", "leaf", "soil",
                     "page",
                 "book red", "book green", "book cream", "walnut", "black", "print ink", "linen"):  # fmt: skip
        room.maps[name] = maps.plain(room.number(name))
    parts.lamps(room, {"ceiling": 1.0, "pendant": 1.0})
    parts.shell(room, (W, D, H), [(1.85, 3.25, 1.06, 2.15)], (0.5, 3.3, 0.06, 2.2),
                "wall", "ceiling paint", "floor", "trim paint")  # fmt: skip
    fixtures(room)
    worktop(room)
    cupboards(room)
    props(room)
    lay_cards(room, cards)
    return room


def fixtures(room: Room) -> None:
    """Tile, lamps, skirting, hood, shelf, picture."""
    b = room.build
    with b.thing("tile"):
        b.box((0.008, D - 0.008, TOP), (3.2, D, 1.51), "tile", 0.001)
        b.box((0, 1.5, TOP), (0.008, D - 0.008, 1.02), "tile", 0.001)
    with b.thing("trim"):
        b.box((W - 0.018, 0, 0), (W, 3.78, 0.12), "trim paint", 0.004)
        b.box((0, 0, 0), (0.018, 0.10, 0.12), "trim paint", 0.004)
    with b.thing("lamp"), b.at(move(1.9, 2.0, 2.45)):
        b.lathe([(0.24, 0.1), (0.24, 0.0), (0.225, -0.004)], "brass")
        a = np.linspace(0, 2 * np.pi, 49)
        for p, q in itertools.pairwise(a):
            b.quad([(0, 0, -0.002), (0.226 * np.cos(q), 0.226 * np.sin(q), -0.002),
                    (0.226 * np.cos(p), 0.226 * np.sin(p), -0.002), (0, 0, -0.002)], "ceiling")  # fmt: skip
    with b.thing("hood"):
        b.box((1.60, 3.93, 1.60), (2.20, D, 1.655), "steel", 0.002)
        b.box((1.77, 4.12, 1.655), (2.03, D, H), "steel", 0.002)
    with b.thing("shelf"):
        b.box((0.22, 4.17, 1.64), (1.42, D, 1.672), "oak", 0.003)
        for x in (0.42, 1.22):
            b.box((x - 0.012, 4.20, 1.634), (x + 0.012, D, 1.64), "black iron", 0.001)
            b.box((x - 0.012, D - 0.006, 1.52), (x + 0.012, D, 1.64), "black iron", 0.001)
    with b.thing("pendant"), b.at(move(2.70, 4.03, 1.66)):
        parts.pendant(b, "enamel", "white glaze", "pendant", "black", H - 1.66)
    with b.thing("picture"):
        x = W
        b.box((x - 0.025, 2.55, 1.25), (x, 3.05, 1.90), "walnut", 0.003)
        b.quad(
            [[x - 0.026, 2.57, 1.27], [x - 0.026, 3.03, 1.27], [x - 0.026, 3.03, 1.88], [x - 0.026, 2.57, 1.88]], "page"
        )
        for y, z, h, w, s in ((2.8, 1.42, 0.13, 0.24, "book green"), (2.76, 1.56, 0.10, 0.16, "ochre glaze"),
                              (2.86, 1.62, 0.12, 0.12, "print ink")):  # fmt: skip
            b.box((x - 0.0275, y - w / 2, z), (x - 0.026, y + w / 2, z + h), s, 0.0001)


def worktop(room: Room) -> None:
    """L-shaped worktop with a sink cut in under the window, tap, hob."""
    b = room.build
    low = 0.88
    s = (0.13, 0.50, 2.28, 2.86)
    with b.thing("worktop"):
        b.box((0.0, 3.78, low), (3.2, D, TOP), "worktop", 0.003)
        b.box((0.0, 1.48, low), (0.63, s[2], TOP), "worktop", 0.003)
        b.box((0.0, s[3], low), (0.63, 3.782, TOP), "worktop", 0.0005)
        b.box((0.0, s[2] - 0.001, low), (s[0], s[3] + 0.001, TOP), "worktop", 0.0005)
        b.box((s[1], s[2] - 0.001, low), (0.63, s[3] + 0.001, TOP), "worktop", 0.0005)
    with b.thing("sink"):
        t = 0.012
        b.box((s[0] - t, s[2] - t, 0.70), (s[1] + t, s[3] + t, 0.71), "white glaze", 0.001)
        for lo, hi in (((s[0] - t, s[2] - t), (s[0], s[3] + t)), ((s[1], s[2] - t), (s[1] + t, s[3] + t)),
                       ((s[0], s[2] - t), (s[1], s[2])), ((s[0], s[3]), (s[1], s[3] + t))):  # fmt: skip
            b.box((*lo, 0.71), (*hi, low), "white glaze", 0.001)
        b.tube([(0.07, 2.57, TOP), (0.07, 2.57, 1.08), (0.07, 2.57, 1.22), (0.15, 2.57, 1.30), (0.24, 2.57, 1.25),
                (0.25, 2.57, 1.17)], 0.013, "steel", 10)  # fmt: skip
        b.tube([(0.07, 2.57, 0.96), (0.09, 2.63, 0.98), (0.10, 2.67, 1.02)], 0.007, "steel")
        with b.at(move(0.07, 2.57, TOP)):
            b.lathe([(0.028, 0), (0.028, 0.012), (0.018, 0.018), (0.017, 0.06)], "steel")
    with b.thing("hob"):
        b.box((1.62, 3.87, TOP), (2.18, 4.32, TOP + 0.006), "black glass", 0.002)


def cupboards(room: Room) -> None:
    """Base cabinets of both runs, oven, tall cupboard, plinths."""
    b = room.build
    with b.thing("cabinets"):
        b.box((0.0, FRONT + 0.022, 0.10), (1.60, D, 0.88), "cabinets")
        b.box((2.20, FRONT + 0.022, 0.10), (3.2, D, 0.88), "cabinets")
        b.box((0.0, 1.50, 0.10), (0.598, 3.8, 0.69), "cabinets")
        b.box((0.0, 1.50, 0.69), (0.598, 2.25, 0.88), "cabinets")
        b.box((0.0, 2.90, 0.69), (0.598, 3.8, 0.88), "cabinets")
        b.box((0.0, 1.56, 0.0), (0.54, 3.9, 0.10), "black")
        b.box((0.5, FRONT + 0.08, 0.0), (3.2, D, 0.10), "black")
        b.box((3.2, FRONT - 0.02, 0.0), (3.22, D, 2.16), "cabinets", 0.002)
        b.box((3.22, FRONT + 0.022, 0.10), (W, D, 2.16), "cabinets")
        b.box((3.19, FRONT - 0.03, 2.16), (W, D, 2.20), "cabinets", 0.008)
        b.box((3.22, FRONT + 0.06, 0.0), (W, D, 0.10), "black")
        b.box((0.622, FRONT, 0.10), (0.70, FRONT + 0.022, 0.872), "cabinets", 0.002)
        for x0, x1 in ((0.70, 1.15), (1.15, 1.60), (2.70, 3.20)):
            parts.door_front(b, x0, x1, 0.105, 0.872, FRONT, "cabinets", "brass")
        for z0, z1 in ((0.105, 0.40), (0.40, 0.66), (0.66, 0.872)):
            parts.drawer_front(b, 2.20, 2.70, z0, z1, FRONT, "cabinets", "brass")
        for z0, z1 in ((0.105, 1.20), (1.20, 2.155)):
            parts.door_front(b, 3.225, 3.79, z0, z1, FRONT, "cabinets", "brass")
        with b.at(rotation("z", 90)):
            for y0, y1 in ((1.50, 1.95), (1.95, 2.40), (2.40, 2.85), (2.85, 3.30), (3.30, 3.74)):
                parts.door_front(b, y0, y1, 0.105, 0.872, -0.62, "cabinets", "brass")
        b.box((0.0, 1.478, 0.0), (0.622, 1.50, 0.88), "cabinets", 0.002)
    with b.thing("oven"):
        b.box((1.603, FRONT - 0.002, 0.13), (2.197, FRONT + 0.5, 0.872), "steel", 0.002)
        b.box((1.64, FRONT - 0.006, 0.20), (2.16, FRONT, 0.66), "black glass", 0.002)
        b.box((1.64, FRONT - 0.006, 0.765), (2.16, FRONT, 0.86), "black glass", 0.002)
        b.tube(
            [(1.66, FRONT, 0.72), (1.66, FRONT - 0.045, 0.72), (2.14, FRONT - 0.045, 0.72), (2.14, FRONT, 0.72)],
            0.009,
            "steel",
            10,
        )
        for x in (1.72, 2.08):
            with b.at(move(x, FRONT - 0.006, 0.812), rotation("x", 90)):
                b.lathe([(0, 0.024), (0.018, 0.022), (0.021, 0.0)], "steel", 32)


def props(room: Room) -> None:
    """What makes it lived in."""
    b = room.build
    with b.thing("props"):
        with b.at(move(1.77, 4.0, TOP + 0.006), rotation("z", 150)):
            parts.kettle(b, "enamel", "black iron", "steel")
        with b.at(move(0.24, 3.95, TOP)):
            parts.bowl(b, "white glaze", 0.155, 0.09)
            for k, (dx, dy, dz, s) in enumerate(((0.05, 0, 0.03, "lemon"), (-0.05, 0.03, 0.03, "green apple"),
                                                 (-0.01, -0.06, 0.03, "apple"), (0.0, 0.01, 0.085, "lemon"),
                                                 (0.02, 0.07, 0.03, "apple"))):  # fmt: skip
                with b.at(move(dx, dy, dz), rotation("x", 20 * k - 30), rotation("z", 70.0 * k)):
                    parts.round_fruit(b, s, "walnut", 0.037)
        with b.at(move(1.42, 4.335, TOP), rotation("x", -9)), b.grain_turned():
            b.box((-0.14, -0.011, 0), (0.14, 0.011, 0.42), "oak", 0.006)
        for x, r, h, s in ((0.50, 0.05, 0.17, "stoneware"), (0.64, 0.043, 0.13, "white glaze")):
            with b.at(move(x, 4.30, TOP)):
                parts.jar(b, s, "oak", r, h)
        with b.at(move(2.33, 4.28, TOP)):
            b.lathe(
                [(0, 0), (0.052, 0), (0.056, 0.01), (0.05, 0.15), (0.054, 0.16), (0.047, 0.158), (0.045, 0.02)],
                "stoneware",
                smooth=4,
            )
            for k in range(5):
                a, t = k * 1.3, 0.02
                b.tube([(0.02 * np.cos(a), 0.02 * np.sin(a), 0.03), ((0.04 + t) * np.cos(a),
                    (0.04 + t) * np.sin(a), 0.29)],
                       0.006, "oak" if k % 2 else "steel")  # fmt: skip
                with b.at(move((0.042 + t) * np.cos(a), (0.042 + t) * np.sin(a), 0.31)):
                    b.cushion((0.022, 0.010, 0.035), "oak" if k % 2 else "steel", 0.9)
        with b.at(move(3.05, 4.22, TOP)):
            parts.plant(b, "terracotta", "soil", "leaf", leaves=34, size=0.17, seed=7, pot_size=0.066)
        with b.at(move(0.045, 2.02, 1.06)):
            parts.plant(b, "white glaze", "soil", "leaf", leaves=30, size=0.16, seed=4, pot_size=0.058)
        with b.at(move(0.05, 3.0, 1.06)):
            parts.jar(b, "blue glaze", "oak", 0.045, 0.14)
        with b.at(move(0.16, 3.35, TOP), rotation("z", 40)):
            parts.mug(b, "ochre glaze")
        on_shelf(room)
        with b.at(move(1.90, FRONT - 0.056, 0.728)):
            b.cloth(0.40, 0.40, "towel", waves=2.5, depth=0.010)
        b.box((0.86, 1.95, 0.0), (1.52, 3.55, 0.008), "rug", 0.004)
        with b.at(move(3.15, 2.35, 0)):
            stool(room)


def on_shelf(room: Room) -> None:
    """Books, plates, bowls and mugs on the shelf."""
    b = room.build
    z = 1.672
    with b.at(move(0.26, 4.21, z)):
        parts.books(b, ["book red", "book green", "book cream", "blue glaze"], "page", 0.24, 5)
    for k in range(3):
        with b.at(move(0.66, 4.28, z + 0.034 * k)):
            parts.bowl(b, "white glaze" if k != 1 else "stoneware", 0.078, 0.06)
    with b.at(move(0.90, 4.35, z)):
        parts.plate(b, "white glaze", 0.115)
    with b.at(move(1.09, 4.35, z)):
        parts.plate(b, "blue glaze", 0.10)
    for x, s in ((1.24, "ochre glaze"), (1.345, "white glaze")):
        with b.at(move(x, 4.28, z), rotation("z", 35)):
            parts.mug(b, s)


def stool(room: Room) -> None:
    """A three-legged oak stool."""
    b = room.build
    b.lathe(
        [(0, 0.60), (0.14, 0.60), (0.165, 0.607), (0.168, 0.625), (0.155, 0.633), (0.10, 0.629), (0, 0.627)],
        "oak",
        smooth=3,
    )
    for k in range(3):
        a = k * 2.094 + 0.5
        c, s = np.cos(a), np.sin(a)
        b.tube([(0.09 * c, 0.09 * s, 0.61), (0.15 * c, 0.15 * s, 0.30), (0.20 * c, 0.20 * s, 0.0)], 0.016, "oak", 2)
    ring = [(0.145 * np.cos(k * 2.094 + 0.5), 0.145 * np.sin(k * 2.094 + 0.5), 0.27) for k in range(4)]
    for p, q in itertools.pairwise(ring):
        b.tube([p, q], 0.009, "oak", 1)

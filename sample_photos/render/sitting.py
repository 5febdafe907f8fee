"""The sitting room: brick chimney breast, terrazzo hearth, glazed tile, orange pine floor, dark mantel. Invented."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import maps
import numpy as np
import parts
from geometry import Builder, move, rotation
from model import NO_PAINTS, Room, View, read_materials

W, D, H = 4.4, 4.6, 2.6
FACE = 4.25  # the chimney breast's front
HEARTH = 0.06

SURFACES = {"hearth": "stone", "floor": "timber", "brick": "brick", "tile": "tile", "mantel": "timber"}
# Level tops (x0, x1, y0, y1, z): outlines of these surfaces leave the front edge out.
TOPS = {"hearth": [(1.205, 3.195, 3.705, D, HEARTH)]}
ROLES = {"walls": "wall", "cabinets": "cupboard"}
PAINTS = {"walls": "wall paint", "cabinets": "cupboard paint"}
ROOM_HEAD = """[room]
name = "Mill Lane sitting room"
kind = "sitting room"
facing = "NW"
latitude = 53.4
lamps_k = 2700

[wishes]
warmth = "either"
lrv = [45, 85]
roles = ["walls", "trim", "accent"]"""

VIEWS = {
    "whole": View((2.42, 0.32, 1.48), (2.16, 4.2, 1.04), 65.0, (1600, 1200), -0.3),
    "hearth": View((2.48, 2.86, 1.20), (2.38, 3.90, 0.06), 50.0, roll=1.2),
    "brick": View((2.02, 2.95, 1.66), (1.86, FACE, 1.72), 54.0, roll=-0.6),
    "floor": View((3.10, 0.72, 1.36), (3.02, 1.72, 0.0), 58.0, roll=-1.5),
    "tile": View((2.70, 3.46, 0.96), (2.77, FACE, 0.76), 48.0, roll=0.7),
}


def lay_cards(room: Room, which: str) -> None:
    """Lay one set of cards."""
    shot, kind = which.split(":")
    lay = {
        "whole": ((2.36, 3.90, HEARTH), (0.105, 0.012, 0), (-0.009, 0.075, 0), "hearth"),
        "hearth": ((2.40, 3.88, HEARTH), (0.05, 0.010, 0), (-0.012, 0.06, 0), "hearth"),
        "brick": ((1.74, FACE - 0.0015, 1.74), (0.048, 0, 0.001), (-0.001, 0, 0.06), "brick"),
        "floor": ((3.06, 1.66, 0), (0.05, -0.008, 0), (0.010, 0.062, 0), "floor"),
        "tile": ((2.80, FACE - 0.0155, 0.74), (0.036, 0, 0.001), (-0.001, 0, 0.050), "tile"),
    }
    centre, across, along, on = lay[shot]
    if kind == "trio":
        room.trio(centre, across, along, on)
    else:
        room.card(centre, across, along, 0.18, on)


def palette(room: Room, paints: Mapping[str, tuple[float, float, float]]) -> None:
    """Every material of the room, the roles in `paints` in another paint."""
    room.materials |= read_materials(Path(__file__).with_name("sitting_materials.csv"))
    for role, lab in paints.items():
        room.materials[PAINTS[role]] = replace(room.materials[PAINTS[role]], lab=lab)


@functools.lru_cache(maxsize=4)
def label_maps(per_m: float) -> dict[str, maps.LabelMap]:
    """The patterned surfaces; made once."""
    room = Room("", "")
    palette(room, {})
    k = room.number
    return {
        "hearth": maps.terrazzo(k("binder"), (k("chip grey"), k("chip rust"), k("chip cream")),
            (0.42, 0.26, 0.32), per_m, 4,
                                cover=0.62),
        "floor": maps.boards((k("pine"), k("pine pale"), k("pine deep")), k("gap"), per_m * 0.7, 15, width=0.115,
            length=1.7,
                             rows=14, figure=0.17),
        "brick": maps.tiles((k("brick red"), k("brick dark"), k("brick orange")),
            (0.6, 0.18, 0.22), k("mortar"), per_m * 0.6, 12,
                            size=(0.225, 0.075), joint=0.011, grid=(8, 16), rough=1.0, uneven=0.03),
        "tile": maps.tiles((k("green"), k("green pale")),
            (0.68, 0.32), k("grout"), per_m, 13, size=(0.10, 0.10), shift=0.0,
                           joint=0.003, grid=(12, 12), uneven=0.025),
        "mantel": maps.boards((k("walnut"),), k("walnut"), per_m * 0.6, 21, width=0.40, length=1.4, rows=3,
            figure=0.2, joints=False),
        "wall": maps.paint(k("wall paint"), per_m, 3, 0.10), "cupboard": maps.paint(k("cupboard paint"), per_m, 2,
            0.05),
        "rug": maps.weave((k("rug base"), k("rug navy"), k("rug rust")),
                          np.array([1, 1, 0, 2, 0, 0, 0, 2, 0, 1, 0, 2, 0, 0, 0, 0, 0, 0, 2, 0, 1, 0, 2, 0, 0, 0, 2,
                              0, 1, 1]),
                          (1.3, 0.5), per_m, 5),
        "chair": maps.weave((k("wool"), k("wool dark")), np.array([0, 1] * 40), (0.4, 0.4), per_m, 7),
        "pillow": maps.weave((k("rust wool"), k("linen")), np.array([0, 0, 0, 0, 1, 0] * 4), (0.3, 0.3), per_m, 8),
        "curtain": maps.weave((k("linen"),), np.array([0, 0]), (0.3, 0.3), per_m, 9),
    }  # fmt: skip


def build(per_m: float, cards: str, paints: Mapping[str, tuple[float, float, float]] = NO_PAINTS) -> Room:
    """The whole room with one set of cards; per_m is the resolution of the maps, texels per metre.

    `paints` (CIELAB by role) replaces the room's own.
    """
    room = Room("sitting", "Mill Lane sitting room")
    palette(room, paints)
    patterned = label_maps(per_m)
    room.maps |= patterned
    for name in room.materials:
        if name not in patterned:
            room.maps[name] = maps.plain(room.number(name))
    parts.lamps(room, {"lamp shade": 1.0})
    parts.shell(room, (W, D, H), [(1.95, 3.55, 0.62, 2.2)], (0.8, 3.7, 0.06, 2.25),
                "wall", "ceiling paint", "floor", "trim paint")  # fmt: skip
    chimney(room)
    alcoves(room)
    furniture(room)
    lay_cards(room, cards)
    return room


def chimney(room: Room) -> None:
    """Breast, recess, hearth, tile panels, mantel, stove."""
    b = room.build
    with b.thing("brick"):
        for x0, x1, z0, z1 in ((1.35, 1.75, 0, 0.96), (2.65, 3.05, 0, 0.96), (1.35, 3.05, 0.96, H)):
            b.box((x0, FACE, z0), (x1, D, z1), "brick", 0.002)
        b.box((1.75, D - 0.02, 0), (2.65, D, 0.96), "soot")
    with b.thing("hearth"):
        b.box((1.20, 3.70, 0), (3.20, FACE, HEARTH), "hearth", 0.004)
        b.box((1.75, FACE, 0), (2.65, D, HEARTH), "hearth", 0.0005)
    with b.thing("tile"):
        for x0, x1, z0, z1 in ((1.45, 1.75, 0.0, 0.90), (2.65, 2.95, 0.0, 0.90), (1.45, 2.95, 0.90, 1.10)):
            with b.at(move(1.45, FACE, HEARTH)):
                b.box((x0 - 1.45, -0.014, z0), (x1 - 1.45, 0, z1), "tile", 0.001)
        b.box((1.744, FACE - 0.02, HEARTH), (1.756, FACE + 0.01, 0.966), "black iron", 0.001)
        b.box((2.644, FACE - 0.02, HEARTH), (2.656, FACE + 0.01, 0.966), "black iron", 0.001)
        b.box((1.744, FACE - 0.02, 0.954), (2.656, FACE + 0.01, 0.966), "black iron", 0.001)
    with b.thing("mantel"):
        b.box((1.32, FACE - 0.19, 1.24), (3.08, FACE, 1.33), "mantel", 0.006)
    with b.thing("stove"):
        b.box((1.93, 4.08, 0.18), (2.47, 4.48, 0.72), "black iron", 0.012)
        b.box((1.90, 4.05, 0.72), (2.50, 4.50, 0.75), "black iron", 0.008)
        b.box((1.97, 4.062, 0.22), (2.43, 4.08, 0.68), "black iron", 0.006)
        b.box((2.02, 4.058, 0.30), (2.38, 4.064, 0.62), "black glass", 0.002)
        for x in (1.97, 2.43):
            for y in (4.12, 4.44):
                with b.at(move(x, y, HEARTH)):
                    b.lathe([(0.022, 0), (0.018, 0.06), (0.026, 0.13)], "black iron", 24)
        with b.at(move(2.2, 4.40, 0.75)):
            b.lathe([(0.075, 0), (0.075, 0.8)], "black iron", 48)
        b.tube([(2.415, 4.062, 0.40), (2.415, 4.03, 0.40), (2.415, 4.03, 0.52), (2.415, 4.062, 0.52)], 0.007, "brass")


def alcoves(room: Room) -> None:
    """Cupboard and shelves to the left; picture, side table and lamp to the right; skirting."""
    b = room.build
    with b.thing("cupboard"):
        b.box((0.0, 4.222, 0.08), (1.35, D, 0.80), "cupboard", 0.001)
        b.box((0.0, 4.26, 0.0), (1.35, D, 0.08), "cupboard", 0.001)
        for x0, x1 in ((0.01, 0.675), (0.675, 1.34)):
            parts.door_front(b, x0, x1, 0.085, 0.79, 4.20, "cupboard", "brass", "knob")
    with b.thing("shelf"):
        b.box((0.0, 4.18, 0.80), (1.352, D, 0.83), "mantel", 0.003)
        for z in (1.22, 1.60, 1.98):
            b.box((0.0, 4.33, z), (1.352, D, z + 0.03), "mantel", 0.003)
    covers = ["book red", "book green", "book cream", "book navy", "ochre", "stoneware"]
    with b.thing("props"):
        for x, z, w, seed in (
            (0.08, 1.25, 0.55, 5),
            (0.62, 1.63, 0.62, 8),
            (0.06, 2.01, 0.42, 2),
            (0.95, 2.01, 0.32, 9),
        ):
            with b.at(move(x, 4.37, z)):
                parts.books(b, covers, "page", w, seed)
        with b.at(move(0.92, 4.45, 1.25)):
            parts.plant(b, "white glaze", "soil", "leaf", leaves=26, size=0.13, seed=4, pot_size=0.055)
        with b.at(move(0.20, 4.46, 1.63)):
            b.lathe(
                [(0, 0), (0.05, 0), (0.085, 0.07), (0.06, 0.15), (0.022, 0.19), (0.03, 0.22), (0.024, 0.218)],
                "blue glaze",
                smooth=6,
            )
        with b.at(move(0.42, 4.46, 1.63)):
            parts.bowl(b, "stoneware", 0.09, 0.07)
        with b.at(move(0.36, 4.40, 0.83)):
            parts.plant(b, "terracotta", "soil", "leaf", leaves=40, size=0.24, seed=6, pot_size=0.085)
        with b.at(move(0.95, 4.38, 0.83)):
            for k, s in enumerate(("book navy", "book cream", "book red")):
                with b.at(move(0, 0, 0.034 * k), rotation("z", 8 * k - 6)):
                    b.box((-0.12, -0.085, 0), (0.12, 0.085, 0.032), s, 0.003)
        for x, s in ((1.55, "stoneware"), (2.86, "white glaze")):
            with b.at(move(x, FACE - 0.10, 1.33)):
                b.lathe(
                    [(0, 0), (0.035, 0), (0.055, 0.05), (0.035, 0.12), (0.03, 0.16), (0.036, 0.17), (0.030, 0.168)],
                    s,
                    smooth=6,
                )
        b.box((2.02, FACE - 0.03, 1.332), (2.36, FACE - 0.012, 1.78), "black", 0.003)
        b.box((2.04, FACE - 0.032, 1.352), (2.34, FACE - 0.028, 1.76), "page", 0.0005)
        b.box((2.10, FACE - 0.033, 1.42), (2.28, FACE - 0.031, 1.54), "print dark", 0.0002)
        b.box((2.10, FACE - 0.033, 1.54), (2.28, FACE - 0.031, 1.68), "print", 0.0002)
        b.box((3.45, D - 0.028, 1.35), (4.05, D, 2.0), "beech", 0.003)
        b.box((3.475, D - 0.031, 1.375), (4.025, D - 0.027, 1.975), "page", 0.0005)
        b.box((3.58, D - 0.033, 1.50), (3.92, D - 0.030, 1.66), "ochre", 0.0002)
        b.box((3.62, D - 0.0335, 1.60), (3.84, D - 0.0305, 1.84), "rust wool", 0.0002)
        basket(b)
    with b.thing("trim"):
        b.box((3.05, D - 0.02, 0), (W, D, 0.14), "trim paint", 0.004)
        b.box((W - 0.02, 0, 0), (W, D, 0.14), "trim paint", 0.004)
        b.box((0, 0, 0), (0.02, 4.2, 0.14), "trim paint", 0.004)
    with b.thing("lamp"), b.at(move(3.35, 4.36, 0)):
        b.lathe([(0, 0.52), (0.19, 0.52), (0.20, 0.53), (0.19, 0.545), (0, 0.545)], "mantel")
        b.lathe([(0.02, 0.0), (0.02, 0.52)], "black iron", 24)
        b.lathe([(0.15, 0.0), (0.14, 0.012), (0, 0.016)], "black iron", 48)
        b.lathe(
            [(0, 0.546), (0.055, 0.546), (0.09, 0.62), (0.075, 0.72), (0.02, 0.78), (0.012, 0.84)],
            "blue glaze",
            smooth=6,
        )
        b.lathe([(0.165, 0.80), (0.125, 1.06)], "lamp shade", 64)
        b.lathe([(0.160, 0.802), (0.122, 1.058)], "linen", 64)


def basket(b: Builder) -> None:
    """A log basket on the hearth."""
    with b.at(move(1.56, 3.95, HEARTH)):
        b.lathe(
            [(0, 0.005), (0.15, 0.0), (0.175, 0.10), (0.185, 0.24), (0.19, 0.25), (0.18, 0.25), (0.165, 0.10)],
            "cane",
            smooth=4,
        )
        for k, (x, y, z, turn) in enumerate(
            ((-0.05, 0.03, 0.285, 20), (0.05, -0.04, 0.29, -20), (0.0, 0.03, 0.375, 65))
        ):
            with b.at(move(x, y, z), rotation("z", turn), rotation("y", 90 + 6 * k)):
                b.lathe([(0.052, -0.15), (0.048, 0.0), (0.052, 0.15)], "bark", 24, smooth=3)
                for side in (-0.15, 0.15):
                    b.lathe([(0.052, side), (0, side)], "log end", 24)


def furniture(room: Room) -> None:
    """Armchair, round table, rug, curtains."""
    b = room.build
    with b.thing("props"):
        b.box((1.30, 1.95, 0.0), (3.20, 3.25, 0.011), "rug", 0.004)
        with b.at(move(3.62, 3.05, 0), rotation("z", -52)):
            armchair(b)
        with b.at(move(0.92, 2.78, 0)):
            b.lathe([(0, 0.44), (0.34, 0.44), (0.355, 0.447), (0.355, 0.46), (0.34, 0.468), (0, 0.468)], "mantel")
            for k in range(3):
                a = k * 2.094 + 0.3
                b.tube(
                    [(0.2 * np.cos(a), 0.2 * np.sin(a), 0.44), (0.29 * np.cos(a), 0.29 * np.sin(a), 0.0)],
                    0.017,
                    "mantel",
                    2,
                )
            with b.at(move(-0.12, 0.02, 0.468), rotation("z", 25)):
                b.box((-0.13, -0.09, 0), (0.13, 0.09, 0.028), "book green", 0.003)
                with b.at(move(0.01, 0.0, 0.028), rotation("z", -14)):
                    b.box((-0.11, -0.075, 0), (0.11, 0.075, 0.022), "book cream", 0.003)
            with b.at(move(0.14, -0.10, 0.468), rotation("z", -60)):
                parts.mug(b, "white glaze")
        for y in (1.78, 3.72):
            with b.at(move(0.10, y, 2.36), rotation("z", 90)):
                b.cloth(0.40, 2.34, "curtain", waves=4.5, depth=0.035)
        b.tube([(0.10, 1.45, 2.38), (0.10, 4.05, 2.38)], 0.012, "black iron", 1)


def armchair(b: Builder) -> None:
    """An upholstered armchair facing -y."""
    with b.at(move(0, 0, 0.33)):
        b.cushion((0.31, 0.34, 0.10), "chair", 0.35)
    with b.at(move(0, -0.03, 0.46)):
        b.cushion((0.27, 0.31, 0.075), "chair", 0.4, 0.02)
    with b.at(move(0, 0.30, 0.60), rotation("x", -12)):
        b.cushion((0.33, 0.085, 0.32), "chair", 0.4)
    for side in (-1, 1):
        with b.at(move(side * 0.345, 0.02, 0.43)):
            b.cushion((0.07, 0.35, 0.17), "chair", 0.4)
        for y in (-0.26, 0.28):
            b.tube([(side * 0.27, y, 0.26), (side * 0.30, y * 1.08, 0.0)], 0.018, "beech", 2)
    with b.at(move(0.02, 0.14, 0.66), rotation("x", -24), rotation("y", 6)):
        b.cushion((0.20, 0.065, 0.19), "pillow", 0.6)

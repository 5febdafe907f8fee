"""Develop the traced pictures: light mix, white balance, exposure, noise, tone curve, file; truth and room files.

    python develop.py TRACED_DIR [--only NAME ...] [--pairs] [--out FOLDER]

Light, once `trace.py` has run. Writes into ../<room>/, or FOLDER/<room>/.
"""

from __future__ import annotations

import argparse
import importlib
import json
import zlib
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pillow_heif
from icc import P3_FROM_SRGB, display_p3
from outlines import area_outlines, inside, level_tops, surface_outlines
from pairs import PAIR_SHOTS
from PIL import Image
from roomfile import write_rooms
from shots import SHOTS, Shot
from smoothing import smooth_within
from spectra import WEIGHTS, xyz_to_lab

DUSK = np.array([0.010, 0.018, 0.042])  # evening sky put behind the panes when only lamps are on; linear sRGB
HERE = Path(__file__).resolve().parent


def layer(data: dict[str, np.ndarray], k: int, white: np.ndarray) -> np.ndarray:
    """Camera raw RGB (h, w, 3) under the k-th light, its median about 0.25; white is a white surface's."""
    levels = 4095 if f"top{k}" in data else 2047
    coded = cv2.imdecode(data[f"layer{k}"], cv2.IMREAD_UNCHANGED).astype(np.float64)
    # What lies beyond the layer's top (a lamp, the wall beside it) keeps the colour of the light.
    top = float(data.get(f"top{k}", 4.0))
    return np.minimum((coded / levels) ** 2 * top, top * white / white.max())


def linear_picture(shot: Shot, data: dict[str, np.ndarray], weights: dict[str, np.ndarray],
                   fixed: float | None) -> tuple[np.ndarray, float]:  # fmt: skip
    """Linear sRGB (h, w, 3), exposed, with sensor noise, under the camera's own idea of white; and the exposure.

    `fixed` repeats the exposure of another picture.
    """
    raw, actual = 0.0, 0.0
    for k, (_, light, weight) in enumerate(shot.lights):
        raw = raw + weight * layer(data, k, weights[f"raw:{light}"].sum(axis=1))
        actual = actual + weight * weights[f"raw:{light}"].sum(axis=1)
    if shot.smooth:
        key = data["object"].astype(np.int32) << 16 | data["surface"].astype(np.int32) << 8 | data["material"]
        raw = smooth_within(raw, key)
    daylight = weights["raw:D65"].sum(axis=1)
    actual = actual / actual[1]
    white = daylight ** (1 - shot.balance) * actual**shot.balance
    green = raw[..., 1][np.isin(data["surface"], emitters(data), invert=True)]
    exposure = shot.exposure * min(0.21 / np.median(green), 0.88 / np.percentile(green, 97.5))
    if fixed is not None:
        exposure = fixed / float(data["scale0"])
    used = exposure * float(data["scale0"])
    raw = raw * exposure
    rng = np.random.default_rng(zlib.crc32(shot.name.encode()))
    raw = np.clip(raw + rng.standard_normal(raw.shape) * np.sqrt(4e-5 * raw + 4e-7), 0, None)
    raw = np.minimum(raw / white, 1.0)
    picture = raw @ weights["matrix"].T
    if "window" not in [group for group, _, _ in shot.lights]:
        names = json.loads(str(data["meta"]))["surfaces"]
        pane = cv2.blur((data["surface"] == names.index("daylight")).astype(np.float64), (3, 3))
        picture += pane[..., None] * DUSK
    return picture, used


def emitters(data: dict[str, np.ndarray]) -> list[int]:
    """Numbers of the surfaces that shine."""
    names = json.loads(str(data["meta"]))["surfaces"]
    return [k for k, n in enumerate(names) if n in ("daylight", "ceiling", "pendant", "lamp shade")] + [255]


def tone(linear: np.ndarray, strength: float, pivot: float) -> np.ndarray:
    """sRGB curve (IEC 61966-2-1), then the phone's S curve: two power curves that meet at the pivot."""
    x = np.clip(linear, 0.0, 1.0)
    x = np.where(x <= 0.0031308, 12.92 * x, 1.055 * x ** (1 / 2.4) - 0.055)
    g = 1.0 + 0.5 * strength
    low = pivot * (x / pivot) ** g
    high = 1 - (1 - pivot) * ((1 - x) / (1 - pivot)) ** g
    return np.where(x < pivot, low, high) if strength else x


def encode(shot: Shot, linear: np.ndarray, path: Path) -> Path:
    """Write the photo file."""
    if shot.file == "heic":
        linear = linear @ P3_FROM_SRGB.T
    pixels = (tone(linear, shot.tone, shot.pivot) * 255).round().astype(np.uint8)
    exif = Image.Exif()
    exif[0x0112] = 6 if shot.file == "jpg6" else 1
    if shot.file == "heic":
        image = pillow_heif.from_pillow(Image.fromarray(pixels))
        path = path.with_suffix(".heic")
        image.save(path, quality=80, icc_profile=display_p3())
        return path
    image = Image.fromarray(np.ascontiguousarray(np.rot90(pixels)) if shot.file == "jpg6" else pixels)
    path = path.with_suffix(".jpg")
    image.save(path, quality=90, subsampling=0, exif=exif, optimize=True)
    return path


def colours(data: dict[str, np.ndarray], pixels: np.ndarray, weights: dict[str, np.ndarray]) -> list[dict[str, object]]:
    """True colours of the marked pixels: reflectance of each material there, times its mean scale there."""
    materials = json.loads(str(data["meta"]))["materials"]
    xyz_weights = weights["xyz:D65"]
    labels, scale = data["material"][pixels], data["scale"][pixels] / 32
    made = []
    for k in np.unique(labels):
        share = float((labels == k).mean())
        if share < 0.01:
            continue
        factor = float(scale[labels == k].mean())
        xyz = xyz_weights @ (np.array(materials[k]["reflectance"]) * factor)
        lab = xyz_to_lab(xyz, xyz_weights.sum(axis=1))
        made.append({"share": round(share, 4), "lab": [round(float(v), 3) for v in lab],
            "lrv": round(100 * float(xyz[1]), 3),
                     "part": materials[k]["part"], "material": materials[k]["name"]})  # fmt: skip
    return sorted(made, key=lambda c: -c["share"])


def truth(shot: Shot, data: dict[str, np.ndarray], weights: dict[str, np.ndarray], file: Path) -> dict[str, object]:
    """The truth JSON of a picture."""
    module = importlib.import_module(shot.room)
    meta = json.loads(str(data["meta"]))
    shape = data["surface"].shape
    surfaces = []
    for name, material in module.SURFACES.items():
        mask = data["surface"] == (meta["surfaces"].index(name) if name in meta["surfaces"] else 254)
        if name in module.TOPS:
            mask &= level_tops(replace(module.VIEWS[shot.view], size=shape[::-1]), module.TOPS[name])
        if mask.sum() < (0.004 if shot.view == "whole" else 0.03) * mask.size:
            continue
        polygons = surface_outlines(mask, margin=3 if shot.view == "whole" else 6)
        if polygons:
            pixels = inside(polygons, shape)
            surfaces.append({"name": name, "material": material, "outlines": polygons,
                             "purity": round(float(mask[pixels].mean()), 4),
                             "colours": colours(data, pixels & mask, weights)})  # fmt: skip
    areas = []
    for role, name in module.ROLES.items():
        if shot.view == "whole" and name in meta["surfaces"]:
            outer, holes = area_outlines(data["surface"] == meta["surfaces"].index(name))
            areas.append(
                {"role": role, "outlines": outer, "holes": holes, "lab": paint_of(role, module, meta, weights)}
            )
    return {
        "file": file.name, "image_size": [shape[1], shape[0]], "coordinates": "pixels of the upright picture",
        "colour_space": "Display P3" if shot.file == "heic" else "sRGB",
        "cards": [{"kind": c["kind"], "Y": c["Y"], "on": c["on"], "outline": c["outline"]} for c in visible(meta,
            shape)],
        "surfaces": surfaces, "areas": areas, **({"scene": shot.like or shot.name} if areas else {}),
        "light": [{"from": g, "illuminant": spd, "weight": w} for g, spd, w in shot.lights],
        "white_balance": {"towards_the_light": shot.balance, "note": "1 would be right for the light, 0 right for D65"},
        "tone": {"curve": "sRGB, then S" if shot.tone else "sRGB", "strength": shot.tone, "pivot": shot.pivot},
        "note": "Lab: CIELAB D65/2 of the 45:0 reflectance; lrv = 100 Y of it; shares as seen inside the outlines",
    }  # fmt: skip


def paint_of(role: str, module: object, meta: dict[str, object], weights: dict[str, np.ndarray]) -> list[float]:
    """CIELAB of the paint that the role has in this picture."""
    material = next(m for m in meta["materials"] if m["name"] == module.PAINTS[role])
    xyz = weights["xyz:D65"] @ np.array(material["reflectance"])
    return [round(float(v), 3) for v in xyz_to_lab(xyz, weights["xyz:D65"].sum(axis=1))]


def visible(meta: dict[str, object], shape: tuple[int, int]) -> list[dict[str, object]]:
    """Cards whose corners all lie in the picture; a card's outline is its own edge."""
    kept = []
    for card in meta["cards"]:
        p = np.array(card["outline"])
        if (p > 1).all() and (p[:, 0] < shape[1] - 1).all() and (p[:, 1] < shape[0] - 1).all():
            kept.append({**card, "outline": np.round(p, 1).tolist()})
    return kept


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser()
    parser.add_argument("traced", type=Path)
    parser.add_argument("--only", nargs="*")
    parser.add_argument("--pairs", action="store_true", help="the pictures of pairs.py instead")
    parser.add_argument("--out", type=Path, default=HERE.parent)
    args = parser.parse_args()
    weights = dict(np.load(WEIGHTS))
    exposures: dict[str, float] = {}
    for shot in PAIR_SHOTS if args.pairs else SHOTS:
        source = args.traced / f"{shot.name}.npz"
        if not source.exists() or (args.only and not any(shot.name.startswith(o) for o in args.only)):
            continue
        data = dict(np.load(source))
        folder = args.out / shot.room
        folder.mkdir(parents=True, exist_ok=True)
        stem = "_".join(shot.name.split(".")[1:])
        linear, exposures[shot.name] = linear_picture(shot, data, weights, exposures.get(shot.like))
        file = encode(shot, linear, folder / stem)
        (folder / f"{stem}.truth.json").write_text(json.dumps(truth(shot, data, weights, file), indent=1) + "\n")
        print(file.name, f"{file.stat().st_size / 1024:.0f} kB")
    write_rooms(args.out)


if __name__ == "__main__":
    main()

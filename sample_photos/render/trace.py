"""Trace the pictures: heavy, once. Writes camera-linear layers and label maps, for `develop.py` to make photos of.

    RENDER_VARIANT=cuda_ad_rgb python trace.py OUT [--only NAME ...] [--pairs] [--spp 1024] [--divide 1]

OUT/<picture>.npz holds, per light of the picture, 16-bit PNG bytes of the square root of camera raw RGB, their scale,
and what each pixel shows. Runs on a GPU with OptiX, or with RENDER_VARIANT=llvm_ad_rgb on the CPU.
"""

from __future__ import annotations

import argparse
import importlib
import json
import time
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import tracer
from pairs import PAIR_SHOTS
from scene import Scene
from shots import SHOTS, Shot
from spectra import WEIGHTS

LEVELS = 4095  # of the coded square root


def trace(shot: Shot, weights: dict[str, np.ndarray], spp: int, divide: int, per_m: float) -> dict[str, np.ndarray]:
    """Everything `develop` needs of one picture."""
    module = importlib.import_module(shot.room)
    room = module.build(per_m, shot.cards, shot.paints)
    scene = Scene(room, weights["xyz:D65"])
    view = module.VIEWS[shot.view]
    view = replace(view, size=(view.size[0] // divide, view.size[1] // divide))
    out: dict[str, np.ndarray] = {}
    for k, (group, light, _) in enumerate(shot.lights):
        pilot = tracer.render(
            scene, replace(view, size=(view.size[0] * divide // 10, view.size[1] * divide // 10)), group, 64, 5
        )
        limit = 4.0 * float(np.median(pilot[8]))
        bands = tracer.render(scene, view, group, spp, 11 + k, limit=limit)
        raw = np.einsum("cb,bhw->hwc", weights[f"raw:{light}"], bands)
        scale = 0.25 / float(np.median(raw[..., 1]))
        top = max(4.0, 1.5 * float(np.percentile(raw * scale, 99.0)))  # layers: median 0.25, clipped at top
        coded = np.sqrt(np.clip(raw * scale, 0, top) / top) * LEVELS
        out[f"layer{k}"] = cv2.imencode(".png", coded.round().astype(np.uint16))[1]
        out[f"scale{k}"], out[f"top{k}"] = np.array(scale), np.array(top)
    seen = tracer.labels(scene, view)
    for name in ("object", "surface", "material"):
        out[name] = seen[name]
    out["scale"] = (seen["scale"] * 32).round().astype(np.uint8)
    out["meta"] = np.array(json.dumps(meta(room, view, scene)))
    return out


def meta(room: object, view: object, scene: Scene) -> dict[str, object]:
    """Names, spectra and cards, as JSON."""
    room, view = scene.room, view
    return {
        "title": room.title, "objects": room.build.objects, "surfaces": room.build.surfaces,
        "materials": [{"name": n, "part": m.part, "reflectance": [round(float(r), 5) for r in row]}
                      for (n, m), row in zip(room.materials.items(), scene.table, strict=True)],
        "cards": [{"outline": view.project(c.corners).round(2).tolist(), "Y": c.reflectance, "on": c.on, "kind": c.kind}
                  for c in room.cards],
        "size": list(view.size),
    }  # fmt: skip


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser()
    parser.add_argument("out", type=Path)
    parser.add_argument("--only", nargs="*")
    parser.add_argument("--pairs", action="store_true", help="the pictures of pairs.py instead")
    parser.add_argument("--spp", type=int, default=1024)
    parser.add_argument("--divide", type=int, default=1)
    parser.add_argument("--per-m", type=float, default=3000)
    args = parser.parse_args()
    weights = dict(np.load(WEIGHTS))
    for shot in PAIR_SHOTS if args.pairs else SHOTS:
        if not args.only or any(shot.name.startswith(o) for o in args.only):
            start = time.time()
            made = trace(shot, weights, args.spp, args.divide, args.per_m)
            np.savez_compressed(args.out / f"{shot.name}.npz", **made)
            size = (args.out / f"{shot.name}.npz").stat().st_size / 2**20
            print(f"{shot.name}: {time.time() - start:.1f} s, {size:.1f} MB", flush=True)


if __name__ == "__main__":
    main()

"""Outlines of surfaces from the label map: simple polygons that keep off cards, objects and edges."""

from __future__ import annotations

import itertools

import cv2
import numpy as np
from model import View

Polygon = list[list[float]]


def surface_outlines(mask: np.ndarray, *, margin: int = 5, most: int = 3) -> list[Polygon]:
    """Up to `most` polygons well inside a mask (h, w); a region with a hole is cut in two through the hole."""
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * margin + 1, 2 * margin + 1))
    solid = cv2.morphologyEx(mask.astype(np.uint8), cv2.MORPH_CLOSE, np.ones((3, 3), np.uint8))
    solid = cv2.erode(solid, kernel, borderType=cv2.BORDER_CONSTANT, borderValue=0)
    solid = cv2.morphologyEx(solid, cv2.MORPH_OPEN, kernel)
    found: list[tuple[float, np.ndarray]] = []
    queue = [solid]
    while queue:
        region = queue.pop()
        contours, tree = cv2.findContours(region, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
        for k, contour in enumerate(contours):
            if tree[0][k][3] >= 0 or cv2.contourArea(contour) < 600:
                continue
            hole = tree[0][k][2]
            if hole < 0:
                found.append((cv2.contourArea(contour), cv2.approxPolyDP(contour, 2.0, True)[:, 0, :]))
                continue
            part = np.zeros_like(region)
            cv2.drawContours(part, contours, k, 1, -1, hierarchy=tree, maxLevel=1)
            biggest = hole
            while hole >= 0:
                biggest = hole if cv2.contourArea(contours[hole]) > cv2.contourArea(contours[biggest]) else biggest
                hole = tree[0][hole][0]
            x = int(contours[biggest][:, 0, 0].mean())
            part[:, x - 1 : x + 2] = 0
            queue.append(part)
    found.sort(key=lambda pair: -pair[0])
    keep = [p for area, p in found[:most] if area > 0.12 * found[0][0]]
    return [[[round(float(x) + 0.5, 1), round(float(y) + 0.5, 1)] for x, y in p] for p in keep]


def level_tops(view: View, tops: list[tuple[float, float, float, float, float]]) -> np.ndarray:
    """Mask (h, w) of the level rectangles (x0, x1, y0, y1, z) in front of the camera, cell by cell."""
    mask = np.zeros((view.size[1], view.size[0]), np.uint8)
    for x0, x1, y0, y1, z in tops:
        xs, ys = np.linspace(x0, x1, round((x1 - x0) / 0.05) + 1), np.linspace(y0, y1, round((y1 - y0) / 0.05) + 1)
        for xa, xb in itertools.pairwise(xs):
            for ya, yb in itertools.pairwise(ys):
                corners = np.array([[xa, ya, z], [xb, ya, z], [xb, yb, z], [xa, yb, z]])
                if ((corners - view.eye) @ view.frame()[2] > 0.15).all():
                    cv2.fillPoly(mask, [np.round(view.project(corners)).astype(np.int32)], 1)
    return mask.astype(bool)


def area_outlines(mask: np.ndarray) -> tuple[list[Polygon], list[Polygon]]:
    """Outer polygons and holes of what a role's paint covers."""
    tidy = cv2.morphologyEx(mask.astype(np.uint8), cv2.MORPH_CLOSE, np.ones((3, 3), np.uint8))
    tidy = cv2.morphologyEx(tidy, cv2.MORPH_OPEN, np.ones((3, 3), np.uint8))
    contours, tree = cv2.findContours(tidy, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    outer: list[Polygon] = []
    holes: list[Polygon] = []
    for k, contour in enumerate(contours):
        if cv2.contourArea(contour) < (150 if tree[0][k][3] < 0 else 30):
            continue
        polygon = cv2.approxPolyDP(contour, 0.9, True)[:, 0, :]
        if len(polygon) >= 3:
            (outer if tree[0][k][3] < 0 else holes).append([[float(x) + 0.5, float(y) + 0.5] for x, y in polygon])
    return outer, holes


def inside(polygons: list[Polygon], shape: tuple[int, int]) -> np.ndarray:
    """Mask (h, w) of the pixels inside any of the polygons."""
    mask = np.zeros(shape, np.uint8)
    for p in polygons:
        cv2.fillPoly(mask, [np.floor(np.array(p)).astype(np.int32)], 1)
    return mask.astype(bool)

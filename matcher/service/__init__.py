"""The use cases: plain inputs in, results out. The command line and the browser app call these and compute nothing."""

from matcher.service.backup import backup, restore
from matcher.service.described import Described, described, drawing_kind, drawn
from matcher.service.handover import (
    HandedOver,
    contents_of,
    handed_over,
    handover,
    handover_of_stored,
    write_handover,
)
from matcher.service.marking import propose_outlines, regions_of
from matcher.service.neighbours import check_map_file, near_json, neighbours, write_map
from matcher.service.paint import (
    check_deck,
    compare_paints,
    describe_deck,
    describe_paint,
    load_deck,
    near_colour,
    near_paint,
)
from matcher.service.photo import check_photo, check_photos
from matcher.service.repainting import (
    PREVIEW_SIDE,
    Repainted,
    picture_kind,
    prepare_repaint,
    repaint,
    repaint_prepared,
    write_picture,
)
from matcher.service.room_file import DEFAULT_TOP, Answer, Ranked, answer_of, rank, shortlist, surfaces, write
from matcher.service.room_light import room_light

__all__ = [
    "DEFAULT_TOP",
    "PREVIEW_SIDE",
    "Answer",
    "Described",
    "HandedOver",
    "Ranked",
    "Repainted",
    "answer_of",
    "backup",
    "check_deck",
    "check_map_file",
    "check_photo",
    "check_photos",
    "compare_paints",
    "contents_of",
    "describe_deck",
    "describe_paint",
    "described",
    "drawing_kind",
    "drawn",
    "handed_over",
    "handover",
    "handover_of_stored",
    "load_deck",
    "near_colour",
    "near_json",
    "near_paint",
    "neighbours",
    "picture_kind",
    "prepare_repaint",
    "propose_outlines",
    "rank",
    "regions_of",
    "repaint",
    "repaint_prepared",
    "restore",
    "room_light",
    "shortlist",
    "surfaces",
    "write",
    "write_handover",
    "write_map",
    "write_picture",
]

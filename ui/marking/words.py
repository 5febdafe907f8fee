"""Every word the marking tool shows or says; the script asks for them by key and holds none itself."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from matcher.service.choices import CARDS, CHIPS_OF_STRIP, ROLES
from matcher.service.deck_search import MOST_FOUND

if TYPE_CHECKING:
    from matcher.service.photo_tasks import PhotoTask

REFLECTANCES = {card.kind: card.reflectance for card in CARDS}
MATERIALS = {
    "stone": "Stone",
    "timber": "Timber",
    "tile": "Tile",
    "brick": "Brick",
    "metal": "Metal",
    "textile": "Textile",
    "laminate": "Laminate",
    "paint": "Paint that stays",
    "other": "Other",
}
REFERENCES = {
    "grey card": "Grey card",
    "white card": "White card",
    "black card": "Black card",
    "grey scale": "Grey scale",
    "chart 24": "Chart of 24",
    "white paper": "White paper",
    "paint chip": "Paint chip",
}
KINDS = {
    "surface": "Surface that stays",
    "card": "Card",
    "area": "Area to paint",
    "hole": "Part to leave out",
}

# Offered while typing a name; any other is as good.
NAMES = ("worktop", "floor", "splashback", "tile", "hearth", "brick", "cabinets", "curtain", "sofa", "rug", "stairs")

# What is still to do on a photo (matcher/service/photo_tasks.py), and as what it is drawn.
TASK_STATES = {"done": "done", "confirm cards": "under way", "choose paints": "under way", "outline": "to do"}
_TASKS = {
    "done": ("Done", "Done"),
    "confirm cards": ("Confirm the card", "Confirm {count} cards"),
    "choose paints": ("Choose a paint", "Choose {count} paints"),
    "outline": ("To outline", "To outline"),
}


def task_words(task: PhotoTask) -> str:
    """Return what is still to do on a photo."""
    one, several = _TASKS[task.task]
    return one if task.count < 2 else several.format(count=task.count)


WORDS: dict[str, Any] = {
    "names": NAMES,
    "materials": MATERIALS,
    "roles": ROLES,
    "references": REFERENCES,
    "reflectances": REFLECTANCES,
    "kinds": KINDS,
    "new_kinds": {
        "surface": "a new surface that stays",
        "card": "a card",
        "area": "a new area to paint",
        "hole": "a part to leave out",
    },
    "new_name": "surface {count}",
    "choose": "Choose …",
    "to_say": "To say",
    # What a form asks where an outline is nothing yet.
    "unsaid": {
        "card": "Which card is it? It is kept once that is said.",
        "area": "Which role has this area? It is kept once that is said.",
        "hole": "Of which role is it left out? It is kept once that is said.",
        "hole_alone": "No area has this role here. Outline the area first, or choose another role.",
    },
    # Cards that lie side by side
    "references_short": {"white card": "White", "grey card": "Grey", "black card": "Black"},
    "counts": {"2": "Two", "3": "Three", "4": "Four", "5": "Five", "6": "Six"},
    "set_form": "Selected cards",
    "set_title": "{count} cards",
    "set_found": "Found for you. Is each card in its box?",
    "card_found": "Found for you. Is the card in its box?",
    "set_refused": "You said these are no cards.",
    "set_on": "They lie on",
    "card_on": "It lies on",
    "set_picture": "{name}, enlarged",
    "set_yes": "Yes, these are my cards",
    "card_yes": "Yes, this is my card",
    "set_refuse": "No card there",
    "set_remove": "Remove",
    "set_selected": "{name} selected.",
    "set_first": "Set the cards one by one first; then each has points to choose.",
    "one_by_one": "Set one by one",
    "one_by_one_says": "Each card by itself: choose it, drag its corners.",
    "as_set": "Back to all of them",
    "on_choose": "Choose …",
    "say_on_first": "Say first what they lie on.",
    "confirmed": "{name} confirmed. Undo takes that back.",
    "refused_says": "Not used as cards. They stay in the list, should they be cards after all.",
    "cards_to_confirm": "To confirm",
    "cards_refused": "No cards",
    "on_detail": "On the {on}",
    "on_nothing_detail": "On nothing marked",
    "brush_under": "Now brush over the {on}",
    "hole_title": "Left out of: {role}",
    "more_of": "another part of {name}",
    "part": "({part} of {count})",
    "detail_parts": "{detail}, {count} outlines",
    # Tools
    "toolbar": "Marking tools",
    "tools_group": "Tool",
    "history_group": "Steps",
    "view_group": "View",
    "tools": {"move": "Move", "outline": "Outline", "include": "Brush over", "exclude": "Leave out"},
    "tool_hints": {
        "move": "Choose an outline, drag its points, or drag the photo.",
        "outline": "Set points around a surface; close at the first point or with Enter.",
        "include": "Brush across a surface, over each of its colours; its outline is proposed.",
        "exclude": "Brush across what was included by mistake.",
    },
    "undo": "Undo",
    "undo_keys": "Undo (Ctrl+Z)",
    "redo": "Redo",
    "redo_keys": "Redo (Ctrl+Shift+Z)",
    "zoom_in": "Zoom in",
    "zoom_out": "Zoom out",
    "fit": "Whole photo",
    "fit_hint": "Show the whole photo (0)",
    # Drawing
    "drawing_title": "New outline",
    "making": "This will be",
    "close": "Close outline",
    "take_back": "Remove last point",
    "cancel": "Cancel",
    "reach": "How far the outline spreads from the strokes",
    "reach_less": "Less",
    "reach_more": "More",
    "keep": "Keep outline",
    "discard": "Cancel",
    # The form and the list
    "form": "Selected outline",
    "list": "In this photo",
    "add": "Add an outline",
    "photos": "Photos of this room",
    "next_photo": "Next photo: {title}",
    "fields": {
        "kind": "What it is",
        "name": "Name",
        "material": "Material",
        "role": "Role",
        "reference": "Card",
        "reflectance": "Reflectance (0 to 1)",
        "reflectances": "Reflectance of its steps, from one end (0.9, 0.6, …)",
        "paint": "Paint",
        "on": "Lies flat on",
    },
    "on_nothing": "Something not marked",
    # A paint chip, and a strip of them
    "paint_hint": "Code or name",
    "paint_none": "paint not chosen yet",
    "paint_gone": "not in the deck",
    "paint_gone_long": "The deck has no paint {code}: choose another, or this chip is left out.",
    "paint_chosen": "{code} {name} chosen.",
    "paint_taken_off": "This chip has no paint now.",
    "paints_found": "{count} paints found.",
    "paint_found": "One paint found.",
    "paints_first": "The first {count} paints found; more letters narrow them down.",
    "paints_most": MOST_FOUND,
    "paints_none": "No paint of the deck is called that.",
    "paints_failed": "The deck could not be searched. Check the connection and try again.",
    "strip": "This is a strip of several chips",
    "strip_form": "Strip of chips",
    "strip_counts": CHIPS_OF_STRIP,
    "strip_count": "Chips on it",
    "strip_hint": "They are numbered on the photo. Choose their paints now, or later one by one.",
    "strip_chip": "Paint of chip {number}",
    "strip_turn": "Count from the other end",
    "strip_split": "Split into {count} chips",
    "strip_was_split": "Split into {count} chips. Undo puts the strip back.",
    "strip_corners": "A strip is split where its outline has exactly four corners: remove points, or outline it again.",
    "remove": "Remove outline",
    "remove_point": "Remove point",
    "none_yet": "Nothing is marked yet. Outline or brush over each surface that stays, and the card.",
    "none_selected": "Choose an outline on the photo or in the list to name it or change it.",
    "none_confirmed": "Cards were found in this photo: choose them in the list and confirm them.",
    # The stage
    "stage": "Photo to mark",
    "loading": "Loading the photo …",
    "not_loaded": "The photo could not be loaded. Check the connection and reload the page.",
    "keys_title": "Keys",
    "keys": (
        "Outline, Brush over, Leave out: arrows move the cursor (Shift for large steps, Alt for one pixel), Enter sets "
        "a point or starts and ends a stroke; Enter twice in one place closes the outline.\n"
        "Move: full stop and comma choose the next and the previous point, arrows move it, I adds one after it, "
        "Delete removes it. With no point chosen arrows move the photo and Delete removes the outline.\n"
        "Plus and minus zoom, 0 shows the whole photo, Space and drag moves it, Escape cancels. "
        "Ctrl+Z undoes, Ctrl+Shift+Z redoes."
    ),
    # Said aloud, and shown below the photo
    "undone": "Undone.",
    "redone": "Redone.",
    "discarded": "Cancelled.",
    "selected_now": "{name} selected, {count} points.",
    "removed": "{name} removed. Undo brings it back.",
    "added": "{name} marked.",
    "described": "Changed.",
    "point_placed": "Point {count} set.",
    "point_placed_closable": "Point {count} set. Close at the first point, or with Enter.",
    "point_taken_back": "Last point removed, {count} left.",
    "point_chosen": "Point {point} of {count}.",
    "point_moved": "Point moved.",
    "point_inserted": "Point added.",
    "point_removed": "Point removed.",
    "mark_moved": "Outline moved.",
    "crosshair_at": "{x} across, {y} down.",
    "looking": "Looking for its outline …",
    "stroke_begun": "Stroke begun. Arrows draw it, Enter ends it.",
    "stroke_taken_back": "Stroke removed.",
    "proposed": "Outline proposed. Keep it, brush over more, or leave some out.",
    "proposed_parts": "Outline proposed in {count} parts. Keep it, brush over more, or leave some out.",
    "nothing_found": "No outline found there. Brush over more of the surface, or let it spread further.",
    "brush_first": "Brush over the surface first, then leave out what does not belong.",
    "three_points": "An outline needs at least 3 points.",
    "too_small": "That outline is too small to measure.",
    "would_cross": "Its edges would cross. Set the point elsewhere.",
    "would_cross_back": "Its edges would cross, so the point was put back.",
    "select_first": "Choose an outline first, in the list or on the photo.",
    "choose_point": "Choose a point first, with full stop or comma.",
}

# What a message from the browser can have wrong; only a page that is out of date or tampered with sends such a one.
BAD_MESSAGE = "the page sent something that is no {what}: {why}"
RELOAD = "Reload the page and mark it again"

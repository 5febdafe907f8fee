"""The words of what is handed over: a client's in plain British English, a painter's in the trade's.

What a fact does to a named surface, so that one sees what. One fact a sentence; ``Mind:`` opens every drawback. No
scale, no unit but those on a tape and a tin. All of it is common practice, no published source, unless a line says so.
"""

from __future__ import annotations

MIND = "Mind: "
REPORT, SCHEDULE = "Colour report", "Painter\u2019s schedule"
PAGE_OF, SHEET_OF = "{page} of {pages}", "Sheet {page} of {pages}"
MARK_ALT = "The mark of {name}"
FOOT = "Colours on a screen or on paper only come near. Order by the code."
INVENTED_FOOT = "Invented room and paints. No paint here can be bought."
INVENTED_PRACTICE = "Example Colour Practice"
MORE_TO_SEE = "{count} more are in the full report."

ROLE_WORDS = {
    "walls": "walls", "trim": "trim", "ceiling": "ceiling", "cabinets": "cabinets", "island": "island",
    "accent": "accent wall", "door": "door",
}  # fmt: skip
PLURAL_ROLES = ("walls", "cabinets")

# The page for a browser, and its appendix.
ROOM_LINK = "The room"
APPENDIX = "For the consultant"
APPENDIX_LEDE = "How all this came about. A client can do without it."

# Page 1: the room.
ROOM_LEDE = "{lead} for the {role}. {stays}"
STAYS_ONE, STAYS = "The {names} stays.", "The {names} stay."
NOTHING_STAYS, THE_REST, ELSE_STAYS = "", "the rest", "everything else that stays"
LEAD = {"slight": "A soft {word}", "clear": "A clear {word}", "strong": "A strong {word}", "none": "A quiet neutral"}
AS_IT_IS, REPAINTED = "As it is", "Repainted"
AS_IT_IS_ALT = "{room} as it is today"
REPAINTED_ALT = "The same picture of {room} with {paints}"
PAINTED_IN = "{role} in {name}"
PICTURE_DOUBT = "A picture, close but not exact: the {role} may come out up to {darker} darker or {brighter} brighter."
BOARDS_DECIDE = "The sample boards decide."
NOT_SHOWN = "The {roles} {are} shown as {they} now: how light that paint is was not measured."
NOT_OUTLINED = "The {roles} {are} not painted in this picture."

# Page 2: the scheme.
SCHEME_TITLE = "The scheme"
SCHEME_LEDE = "{paints} and {things}, in the order they meet in the room, ceiling to floor."
SCHEME_LEDE_ALONE = "{paints}, in the order they meet in the room, ceiling to floor."
PAINTS_ONE, PAINTS = "One paint", "{count} paints"
THINGS_ONE, THINGS = "one thing that stays", "{count} things that stay"
STAYS_NOTE = "stays"
STRIP_LEFT = "the narrow band beside the walls"
STRIP_SECOND = "the second narrow band"
SCHEME_ALT = "Swatches stacked from ceiling to floor: {parts}"
SCHEME_NOTE = "Printed and shown colours only come near. Order by the code, never by this page."
BEYOND = "{names} {is_} stronger than a screen shows."
BANDS_NOTE = "Where a band has several colours, those of the stone, tile or timber stand side by side by their shares."

SHEEN_RANGE = "{first} to {last}"

# Page 3: reasons. By kind of fact (matcher/ranking/reasons.py): the one word of a heading, then the sentence.
# "unsure" where the surface's own lean is too uncertain to name.
WHY_TITLE = "Why these"
WHY_LEDE = "{name} at the left of each pair, what stays at the right, touching as they will in the room."
WITH = "With the {surface}: {word}"
PAIR_ALT = "{name} beside the {surface}"
KIN, IN_TUNE, CALM, QUIET, CLEAR, MIND_WORD = "related", "in tune", "calm", "quiet", "clear", "mind this"
FOR = {
    "undertone-agrees": (KIN, "Both lean to {paint_lean}, so neither makes the other look wrong."),
    "undertone-agrees, another word": (IN_TUNE, "Its {paint_tint} goes with the {surface_lean} of the {surface}."),
    "undertone-agrees, unsure": (
        QUIET,
        "It seems to go with the {surface}; which way that leans is not certain from the photos.",
    ),
    "quiet-partner": (CALM, "Its {paint_tint} calms the {surface_lean} of the {surface}."),
    "quiet-partner, unsure": (QUIET, "It may calm the {surface}; which way that leans is not certain from the photos."),
    "given-accepts": (QUIET, "The {surface} is near neutral: nothing in it fights {paint_lean}."),
    "neutral-paint": (QUIET, "Its tint is too faint to notice, so nothing in it fights the {surface}."),
    "deliberate-contrast": (CLEAR, "A clear contrast that reads as meant."),
    "lets-given-stay": (CALM, "The old paint fought the {surface}, which can stay beside this one."),
}
# Of those, what has to name its surface where none stands beside it.
FOR_A_ROLE = {
    "undertone-agrees": "It leans to {paint_lean}, like the {surface}.",
    "neutral-paint": "Its tint is too faint to notice, so nothing in it fights.",
    "deliberate-contrast": "A clear contrast to the {surface} that reads as meant.",
}
AGAINST = {
    "undertone-opposes": "Its {paint_tint} fights the {surface_lean} of the {surface}.",
    "undertone-opposes, unsure": "Its {paint_tint} may fight the {surface}; which way that leans is not certain.",
    "near-miss-white": "Nearly the white of the {surface}, but not it: it would look like a failed match.",
    "cleaner-than-given": "So clean a colour makes the {surface} look dull.",
    "rivals-given": "It rivals the {surface}: two strong colours of one kind that are not the same.",
    "merges-with-given": "Nearly as light as the {surface} but not its colour, so the edge between them goes soft.",
    "cold-in-north-light": "It may look cold in {away_side} light.",
    "dull-in-north-light": "It may look dull in {away_side} light.",
    "hot-in-sun": "It may look hot when the sun is in.",
    "glare-in-sun": "It may glare when the sun is in.",
    "yellow-under-lamp": "It turns yellower under your lamps.",
    "cold-under-lamp": "It may look cold under your lamps.",
    "changes-with-light": "It is noticeably another colour at some hours, or by your lamps.",
    "neighbour-fights": "It fights the paint of the {surface}.",
    "wish-warmth-missed": "It is not {wish}, as you wished.",
    "wish-lrv-missed": "It is not as light or as dark as you wished.",
}
# Where a clash has no fact of its own: by its kind (matcher/ranking/clashes.py).
CLASHES = {
    "warm-cool": "One of the two is warm and the other cool.",
    "undertone": "The undertones of the two fight.",
    "lightness": "Nearly as light as the {surface} but not its colour, so the edge between them goes soft.",
}
# What lightness does between a paint and a surface, by the step in LRV points up to which each is used: under 3 no
# step, to 8 a step, to 25 clear, above it well clear (assumptions: thirds of a strip of a fan deck, a strip, beyond).
# By what the surface is: "dark" (LRV), "floor" (where it lies), its material, else "any".
LIGHTNESS_STEPS = ((3.0, "as light"), (8.0, "step"), (25.0, "clearly"), (100.0, "far"))
LIGHTNESS = {
    "as light": {"any": "The two are as light as each other, so colour alone tells them apart."},
    "step lighter": {"any": "It is a step lighter than the {surface}."},
    "step darker": {"any": "It is a step darker than the {surface}."},
    "clearly lighter": {
        "tile": "It is clearly lighter, so the {surface} still shows as a pattern.",
        "brick": "It is clearly lighter, so the {surface} still shows as a pattern.",
        "any": "It is clearly lighter than the {surface}, so the edge between them shows.",
    },
    "clearly darker": {
        "tile": "It is clearly darker, so the {surface} looks light and clean.",
        "any": "It is clearly darker than the {surface}, so the edge between them shows.",
    },
    "far lighter": {
        "dark": "It stands well clear of the dark {surface}, which looks crisp, not heavy.",
        "dark, plural": "It stands well clear of the dark {surface}: they look crisp, not heavy.",
        "floor": "It is much lighter than the {surface}: the room stays light above it.",
        "any": "It is much lighter than the {surface}: each stands out.",
    },
    "far darker": {"any": "It is much darker than the {surface}: each stands out."},
}
LIGHTNESS_UNSURE = "How much lighter or darker it is, the photos do not tell for certain."
LIKELY = "Likely, not certain: {sentence}"
OTHERS_TITLE = "The other paints"
BESIDE_ROLE = (
    (3.0, "As light as the {surface}, and sits well with that paint."),
    (8.0, "A step {lighter} than the {surface}: enough to draw a line, too little to shout."),
    (25.0, "Clearly {lighter} than the {surface}, and sits well with that paint."),
    (100.0, "Well clear of the {surface}, and sits well with that paint."),
)
SAME_PAINT = "The same paint as the {surface}: only the sheen draws the line."
CHOSEN_BEFORE = "You had chosen it already."
# Steps of the ladder of trim whites (matcher/scheme/trim_ladder.py), and one that looked amiss.
TRIM_STEPS = {
    "stark": "Of the whites it is the stark one: no tint that shows, the safest.",
    "clean": "Of the whites it is the clean one, with a little warmth.",
    "creamy": "Of the whites it is the creamy one, plainly warm.",
}
TRIM_TURNED_DOWN = "As the {step} white of the trim it {reason}."
TURNED_DOWN = "What we turned down"
TURNED_DOWN_TITLE = "{name}, {code}."

# Page 4: light.
LIGHT_TITLE = "Light through the day"
LIGHT_LEDE = "One paint, {count} lights."
LIGHT_LEDE_FACING = "One paint, {count} lights. Your main window looks {side}."
LIGHT_NOTE = (
    "At the left {name}, then {others}, all in the same light. Calculated from sun, sky and lamps for eyes that have "
    "partly got used to them, and drawn a little darker where there is less light. Cloud, trees and the season change "
    "it. Hours are by the sun."
)
LIGHT_ASSUMED = {
    "latitude": "Nobody said where the house stands: 50 degrees north was taken.",
    "date": "Shown for a day in March, when day and night are equally long.",
    "lamps_k": "Nobody said which lamps you have: warm white ones were taken.",
}
LIGHT_ALT = "{name} at {hour}, beside {others}"
PAINT_OF, THE_SURFACE = "the paint of the {role}", "the {surface}"
SIDES = {"N": "north", "NE": "north-east", "E": "east", "SE": "south-east", "S": "south", "SW": "south-west",
         "W": "west", "NW": "north-west"}  # fmt: skip
HOUR_NAMES = {12.0: "Noon"}
CLOCK, LAMPS_TITLE = "{hour} {half}", "Lamps"
LIGHT_KINDS = {"sun and sky": "sun on the window", "sky": "open sky, no sun", "overcast sky": "grey sky",
               "dusk": "dusk", "lamps": "lamps"}  # fmt: skip
LAMP_KINDS = {"warm": "warm white", "neutral": "neutral white", "cool": "cool white"}
AS_ON_THE_CARD, A_TOUCH, CLEARLY, WARMER, COOLER = "as on the card", "a touch", "clearly", "warmer", "cooler"
# What a colour keeps of its character, by ``keeps`` from which each is used: as LIGHT_KEEPS of the report.
KEPT = (
    (0.93, "its {lean} holds"),
    (0.80, "a little different beside the rest"),
    (0.60, "noticeably different beside the rest"),
    (0.0, "like another colour beside the rest"),
)
AS_BEFORE, MORE_LIGHT, LESS_LIGHT, SAME_LIGHT = "as at {before}{light}", ", in more light", ", in less light", ""
GOES_QUIET = "In so little light colours look weaker."

# Page 5: sample boards.
BOARDS_TITLE = "Sample boards"
BOARDS_LEDE = "Live with these for a day and an evening before anything is painted."
WHICH, HOW, WHERE = "Which", "How", "Where and when"
BOARD_ALT = "{name} as a swatch"
# Why a paint has a board. ``{other}`` is the paint of the same role in the scheme, ``{difference}`` how it differs.
SAMPLE_CHOSEN = "Chosen for the {roles}: look at the board before you buy the paint."
SAMPLE_TIED = "By what was measured it suits the {roles} as well as {other} does; it is {difference}, so choose by eye."
SAMPLE_TIED_PLAIN = "By what was measured it suits the {roles} as well as {other} does: choose by eye."
SAMPLE_DOUBTFUL = "For the {roles}, where the doubt of the photos could still change the choice."
SAMPLE_BESIDE = "For the {roles}: look at it touching the board of {other}."
HOW_STEPS = (
    ("Two coats", "on white board of about 60 by 60 cm (2 by 2 feet). Leave a white edge all round."),
    ("Upright,", "touching what it will meet. Never flat, never in the hand."),
    ("Look four times,", "from morning to lamps. Cover the old paint round it with white paper."),
)
HOW_ALTS = (
    "A board painted to a white edge",
    "A board standing upright on a worktop, against the tiles",
    "Morning, noon, late afternoon and a lamp",
)
WHERE_LEDE = "Tick each place where you still like it."
PLACE = "Place"
TICK_ALT = "Tick box: {place}, {hour}"
HOURS = ("Morning", "Noon", "Late", "Lamps")
# When the sun is on a window, by the side it looks to and the hemisphere; "" the latitude being unknown. Geometry.
SUN = {
    "E": "Your main window looks east: the sun comes in the morning. Look then, and again when it has gone.",
    "W": "Your main window looks west: the sun comes late in the day. Look before it and in it.",
    "sunny": "Your main window looks {side}: the sun is in for most of a clear day. Look at noon, and when it is dull.",
    "sunless": "Your main window looks {side}, away from the sun: the light stays cool. Noon is its best; look at both "
    "ends of the day too.",
    "morning": "Your main window looks {side}: the sun comes in the morning and leaves by noon. Look before and after.",
    "evening": "Your main window looks {side}: the sun comes after noon. Look before it and in it.",
}
PLACES = {"against": "Against the {surface}", "floor": "Low down, above the {surface}", "window": "Next to the window",
          "darkest": "In the darkest corner"}  # fmt: skip
AFTER = "If one box stays empty, tell us which. That is what boards are for."

# Page 6: cautions and doubts.
LAST_TITLE = "Before anyone paints"
LAST_FIRST = "Local rules and licensed practice come first."
LAST_LEDE = "Where they say otherwise, they hold and this page does not."
UNTOLD_TITLE = "What the photos could not tell"
UNTOLD_TITLE_NO_PHOTO = "What the readings could not tell"
ROUGH = "The {surface}, exactly."
ROUGH_NO_CARD = "No card lay on it, so its lightness is known only roughly."
ROUGH_OWN_CARD = "Its lightness is known only roughly, even with a card on it."
LEAN_LIKELY = "That it leans to {word} is likely, not certain."
LEAN_UNKNOWN = "Which way it leans could not be told."
UNREAD = "The {surface}."
UNREAD_TEXT = "It could not be read, so nothing here was chosen with it in view."
GUESSED = "The light."
GUESSED_TEXT = "No grey card lay in {photos}, so the light there was guessed."
BRIGHTNESS = "How bright the new {role} will be."
BRIGHTNESS_TEXT = "Nine times in ten no more than {darker} darker or {brighter} brighter than the picture shows {them}."
ELSEWHERE = "What new {role} do to the rest."
# README, "How sure it is"; python -m tests.benchmarks.repainting.
ELSEWHERE_TEXT = "They change the light on everything round them a little. The picture leaves that out."
SHEEN = "Sheen."
SHEEN_TEXT = "Photos and readings tell colour, not sheen. See the sheen on the board."
NEXT_TITLE = "Next"
NEXT = (
    "Make the boards and send back the ticked page.",
    "When the boards hold, the painter works from the schedule that comes with this.",
)
# A client's short form of some cautions (matcher/report/cautions.py has the full text, by the same kinds); the others
# stand as they are. Boards have a page of their own.
CLIENT_CAUTIONS = {
    "samples": None,
    "screen": ("Screen and paper are not the paint.", "Order by the code, and all of a colour from one batch."),
    "air": ("Air.", "Open the window while painting and until the smell has gone; keep children, anyone pregnant and "
            "people with asthma out until then."),
    "voc-label": ("The label.", "A tin sold here states how much solvent is in it. Less is better indoors."),
    "label": ("The label.", "What a tin has to say of its solvents differs from place to place. Less is better "
              "indoors."),
    "ladders": ("Ladders and stairs.", "Stairwells, high ceilings and outdoors above one storey are for people with "
                "the platform and the training."),
    "electrics": ("Electrics.", "Switch the circuit off before a plate is loosened. Anything beyond the plate is a "
                  "licensed electrician\u2019s work."),
    "low-vision": ("People with low vision.", "Doors, steps, switches and edges must stand out. The rules differ: "
                   "local codes decide."),
}  # fmt: skip

# The painter's schedule.
ORDER_BY_CODE = "Order by code; never match to a chip or a print."
COLUMNS = {
    "surface": "Surface",
    "code": "Code and name",
    "sheen": "Gloss at 60\N{DEGREE SIGN}, sheen",
    "coats": "Coats",
    "litres": "Paint",
    "tins": "Tins",
}
COAT_NAMES = ("1st", "2nd", "3rd", "4th", "5th")
COAT_ALT = "Tick box: {surface}, {coat} coat"
STEP_ALT = "Tick box: {step}"
SWATCH_ALT = "{name} as a swatch"
NOT_PAINTED = "Not to be painted:"
NOT_PAINTED_TEXT = "{names}. Mask all of them."
ORDER, PREPARATION = "Order of work", "Preparation"
BEFORE_FIRST = "Before the first coat"
BEFORE_FIRST_TEXT = "Put a wet brush-out beside the approved board. Not the same? Stop and ring."
GLOSS, GLOSS_UP_TO = "{low:.0f} to {high:.0f}", "up to {high:.0f}"
SIGN_OFF = ("Painter", "Batch numbers of the tins", "Finished on")
SCHEDULE_FOOT = "Local rules and licensed practice come before this sheet."
INVENTED_SCHEDULE = "Invented room and paints."

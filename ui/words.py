"""Every label of the app in one place. Facts about colours come worded from the service."""

from matcher.service.records import Choice

NAME = "Givens"
SIGN_IN = "Sign in"
SIGN_IN_FIRST = "Sign in to see your rooms"
SIGN_OUT = "Sign out"
TO_ROOMS = "Rooms"
WHO = "Name"
PASSPHRASE = "Passphrase"

ROOMS = "Rooms"
NEW_ROOM = "New room"
NEW_ROOM_NAME = "Name of the room"
NO_ROOMS = "No rooms yet. Start one, or import one from a file."
IMPORT = "Import a room"
IMPORT_CHOOSE = "Choose a room's file"
IMPORT_HELP = "A zip that was downloaded here or made by hand: room.toml and its photos."
FIRST_RUN = (
    "This is the sample kitchen: an invented room with rendered photos, marked and ready to look around in. "
    "Nobody needs to sign in yet, so the app answers this machine only. "
    "To guard it with a passphrase, run: givens user add YOUR-NAME"
)
NEWS = "new from the client"
STAGES = {
    "new": "Not started", "photos": "Photos received", "marked": "Marked", "shared": "Shared", "answered": "Answered",
}  # fmt: skip
REMOVE_ROOM = "Remove this room"
REMOVE_ROOM_SURE = "Remove the room, its photos and its links for good"

STEPS = {
    "brief": "Brief",
    "photos": "Photos",
    "mark": "Mark",
    "shortlist": "Shortlist",
    "wall": "On the wall",
    "scheme": "Scheme",
}
STEP_STATES = {"done": "done", "under way": "under way", "to do": "to do"}

BRIEF_TITLE = "Brief"
BRIEF_ROOM = "The room"
BRIEF_WISHES = "Wishes"
ROOM_NAME = "Name"
ROOM_KIND = "Kind of room"
FACING = "Main window faces"
FACING_UNKNOWN = "not known"
LATITUDE = "Latitude, degrees (south negative)"
LAMPS = "Lamps"
LAMPS_UNKNOWN = "not known"
WARMTH = "Warm or cool"
WARMTH_WORDS = {"either": "No preference", "warm": "Warm", "cool": "Cool"}
ROLES_TO_PAINT = "What may be painted"
LRV_RANGE = "LRV of the walls"
LRV_ANY = "Any LRV for the walls"
SAVE = "Save"
SAVED = "Saved."
FROM_CLIENT = "What the client wrote"
LINK_TITLE = "Private link for the client"
LINK_INTRO = (
    "Through this link the client sends photos and a short brief, and later reads what you share. "
    "Whoever has the link can do the same, so send it to the client alone."
)
LINK_MAKE = "Make a link"
LINK_ONCE = "Copy it now: it is not kept here and cannot be shown again."
LINK_REVOKE = "Revoke"
LINK_STATE = "made {created:%d %b}, until {expires:%d %b}"
LINK_USED = "last used {used:%d %b %H:%M}"
LINK_REVOKED = "revoked"
LINK_EXPIRED = "expired"

PHOTOS_TITLE = "Photos"
PHOTOS_INTRO = (
    "One picture of the whole room, then each surface close up with a grey card, better white, grey and black, "
    "lying flat on it."
)
PHOTOS_ADD = "Add photos"
NO_PHOTOS = "No photos yet. Add some here, or send the client the private link."
WHOLE_ROOM = "This is the picture of the whole room"
REMOVE = "Remove"
BY_CLIENT = "from the client"

MARK_TITLE = "Mark"
MARK_NO_PHOTOS = "There is no photo to mark yet."
PHOTO = "Photo"
TAKE_CARD = "Use the cards found"
CARDS_FOUND = "{count} found in this photo. Check that each sits inside its card; drag its corners if not."
COLOURS = "Colours found so far"
NO_COLOURS = "Outline the grey card and one surface, and its colours appear here."
BESIDE_CHIP = "Left the {surface}, right {code} {name}"
DOUBTS = "What the photos cannot tell yet"
INSTRUMENT = "Read with an instrument"
INSTRUMENT_ADD = "Enter a reading"
INSTRUMENT_INTRO = (
    "Type or paste what a colorimeter or spectrophotometer shows of one surface, or choose its file. Several lines are "
    "several spots of that surface."
)
INSTRUMENT_SURFACE = "Surface"
INSTRUMENT_OTHER = "another surface"
INSTRUMENT_NAME = "Name of the surface"
INSTRUMENT_MATERIAL = "Material"
INSTRUMENT_VALUES = "Values"
INSTRUMENT_EXAMPLE = "L* 55.2 a* 14.1 b* 27.9 (D65/2°)"
INSTRUMENT_FILE = "Choose a file"
INSTRUMENT_FILE_KINDS = "A file may be CGATS, CxF3, or text. It is read when you ask what it says."
INSTRUMENT_FILE_CHOSEN = "File: {name}"
INSTRUMENT_FILE_DROP = "Remove the file"
INSTRUMENT_LIGHT = "Light the values are for"
INSTRUMENT_OBSERVER = "Observer"
INSTRUMENT_AS_WRITTEN = "as written"
INSTRUMENT_READ = "Show what it says"
INSTRUMENT_ONE_OF_TWO = "Give values or a file, one of the two."
INSTRUMENT_FOUND = "L* {0:.1f}, a* {1:.1f}, b* {2:.1f} (D65/2°)"
INSTRUMENT_LRV = "LRV {lrv:.0f}"
INSTRUMENT_COUNT = "the mean of {count} readings"
INSTRUMENT_OFF = "the colour may be off by {off}"
INSTRUMENT_DOUBT = "One sigma of the reading: dE00\u00a0{sd:.1f}"
INSTRUMENT_KEEP = "Keep it for the {surface}"
INSTRUMENT_DISCARD = "Discard"
INSTRUMENT_REMOVE = "Remove the reading of the {surface}"
CONFLICT = "Someone else has saved this room in the meantime. Nothing of theirs was overwritten."
CONFLICT_THEIRS = "Continue with theirs"
CONFLICT_MINE = "Keep my marks on this photo instead"

ADVICE_OTHERS = "Other ways"
ADVICE_FIRST, ADVICE_ELSE = "Why this first", "What else would help"
ASK_FOR = "By photo: {action}."
ASK = "Ask for a photo"
ASK_WITHDRAW = "Withdraw"
# By state: matcher/service/next_photo.py.
ASKED = {
    "open": "The client has been asked, at the private link: {action}.",
    "come": "The photo you asked for has arrived: {photos}. Mark its cards and the surface, and it will be counted in.",
    "used": "The photo you asked for is marked and counted in: {photos}.",
}

SHORTLIST_NOTHING = "Mark a grey card and at least one surface first; then the deck can be ranked."
UNREAD = "These stay in the room too, but nothing here was chosen with them in view."
ROLE = "For"
ROLE_USED, ROLE_OPEN = "✓ {role}", "{role}"
FILTERS = "Narrow"
FILTER_LRV = "LRV"
FILTER_FAMILY = "Leaning"
# By group of a tile (matcher/service/tiles.py): its heading and what it means; and where a row goes on with it.
GROUPS = {
    "first": ("Start with these", "Equally good by what is measured so far: choose by eye."),
    "behind": ("Close behind", "A little less sure to suit, or another direction."),
}
FIRST_ALONE = ("Start with this", "Ahead of the others by what is measured so far.")
GROUP_ON = {"first": "Equally good as well", "behind": "Close behind as well"}
ADDED = "Another direction"
COMPARE = "Compare"
CLOSER_LOOK = "Closer look"
COMPARE_TITLE = "Compare ({count} of {most})"
COMPARE_NONE = "Tick Compare on two to four tiles, and they stand here side by side over what stays."
COMPARE_ONE = "Tick Compare on one more tile."
NOTHING_AGAINST = "Nothing found against it"
PIN = "Use this"
UNPIN = "In use"
SEE_ON_WALL = "See it on the wall"
CLOSE_PAINTS = "Paints almost the same ({count})"
CLOSE_PAINTS_WHY = "So close to {name} that they would take its place in the list."
HOW_SCORED = "How it scored"
WHERE_TITLE = "Where they stand"
LEAN_PLOT = (
    "Squares are what stays, by number; discs are paints, by letter. The farther from the middle, the stronger the "
    "lean. Inside the dashed line a light colour reads as plain grey."
)
LIGHT_PLOT = "How light each is, from black (0) to white (100)."
IN_NUMBERS = "In numbers"
WHAT_STAYS = "What stays"

WALL_NOTHING = "Outline what is to be painted, on the page Mark, in the picture of the whole room."
WALL_BEFORE, WALL_AFTER = "Before", "After"
WALL_VIEWS = {"before": WALL_BEFORE, "half": "Half and half", "after": WALL_AFTER}
WALL_VIEW = "Show the room"
WALL_SLIDER = "How much of the new paint shows"
WALL_LOADING = "Repainting…"
WALL_SHOW = "Show"
WALL_SHOW_LONG = "Show the {role} in the new paint"
WALL_ALSO = "Also outlined, though not in the brief."
WALL_NOT_OUTLINED = "Not outlined yet"
WALL_OUTLINE = "Outline it"
WALL_UNMEASURED = "Its old paint is not measured, and how light a new one comes out depends on it."
WALL_MEASURE = "Measure it"
WALL_GUESS = "Show a guess"
WALL_GUESSED = "After, a guess"
WALL_DOUBT = "May come out {darker:.0f}\u00a0% darker to {brighter:.0f}\u00a0% brighter than shown."
WALL_DOUBT_GUESS = "A guess: it may come out {darker:.0f}\u00a0% darker to {brighter:.0f}\u00a0% brighter than shown."
WALL_NOTHING_SHOWN = "The room as it is: nothing is painted now. Tick Show on a role, or see what it waits for."
WALL_SURE = "How sure this picture is"
WALL_NOTE = (
    "Light thrown back from the new paint onto the rest of the room is not shown. Try a large sample board before "
    "deciding."
)
WALL_SAVE = "Save picture"
WALL_BACK = "Back to shortlist"
WALL_KEEP = "Keep as scheme"

SCHEME_NOTHING = "There is no scheme yet: mark a card and a surface first."
SCHEME_CHECKED = "Checked together"
SCHEME_CONTRAST = "For people with low vision"
SCHEME_CONTRAST_NOTE = "These rules disagree; local codes decide which applies."
SCHEME_OTHER = "Other directions"
HOLDS, LOOK_AGAIN, MEETS, MISSES = "Holds", "Look again", "Meets it", "Misses it"
REMARK = "Note to the client"
SHARE = "Share with the client"
SHARE_AGAIN = "Share it again"
SHARED = "The client can now see this at the private link."
ANSWERS = "What the client answered"
CHOICE_WORDS: dict[Choice, str] = {"like": "I like it", "not sure": "I am not sure", "no": "No"}
DOWNLOAD = "Download"
REPORT = "Report (one file, opens in any browser)"
ARCHIVE = "The room with its photos (zip)"

CLIENT_GONE = "This link does not open anything"
CLIENT_GONE_WHY = "It may have expired, or your consultant has withdrawn it. Ask them for a new one."
CLIENT_TITLE = "Photos for your colour consultant"
CLIENT_STEPS = (
    ("whole", "The whole room", "Stand in a corner and take in as much as you can, with the card somewhere in the "
     "picture."),
    ("near", "Each surface close up", "Lay the grey card flat on the worktop, then on the floor, then on the tile: one "
     "photo each. White, grey and black side by side are better still."),
    ("light", "The room's usual light", "No flash and no filter. One kind of light: daylight with the lamps off, or "
     "the lamps with the curtains drawn."),
)  # fmt: skip
CLIENT_ASKED = "One more photo would help"
CLIENT_ASKED_WHY = "Of all photos it is the one that would help your consultant most now."
CLIENT_ASKED_COME = "Thank you: the photo your consultant asked for has arrived."
CLIENT_ASKED_SAID = {
    "one": "Drawing: a grey card lying flat on the {surface}, a phone held above it",
    "three": "Drawing: a white, a grey and a black card side by side on the {surface}, a phone held above them",
}
CLIENT_SEND = "Your photos"
CLIENT_CHOOSE = "Choose photos"
CLIENT_PRIVATE = "Only your consultant sees them. Where they were taken is not passed on."
CLIENT_NEED = "What we need to know"
CLIENT_STAYS = "What stays as it is (worktop, floor, tile, a sofa)"
CLIENT_DISLIKES = "Colours you do not want to see"
# By key of the brief (matcher/room/brief.py), as the consultant reads it.
BRIEF_KEYS = {
    "kind": ROOM_KIND,
    "facing": FACING,
    "lamps_k": LAMPS,
    "stays": "Stays as it is",
    "may_be_painted": ROLES_TO_PAINT,
    "warmth": WARMTH,
    "dislikes": "Colours not wanted",
}
CLIENT_BRIEF_SAVED = "Thank you, that is saved."
CLIENT_FINE = "This one is fine"
CLIENT_BETTER = "Please retake this one"
CLIENT_SHARED = "What your consultant suggests"
CLIENT_ANSWER = "What do you think?"
CLIENT_NOTE = "Anything you want to add"
CLIENT_SEND_ANSWER = "Send my answer"
CLIENT_ANSWERED = "Your answer is with your consultant."
CLIENT_NOT_YET = "Your consultant has not shared anything yet. It will appear here."
NOTHING_HERE = "There is nothing here."
NOT_NOW = "This cannot be saved at the moment, through no fault of yours. Try again later, or tell your consultant."
TOO_MANY_AT_ONCE = "several files are being sent already. Wait for one of them, then send this again"
SENDING_STOPPED = "was cut off before it had all arrived. Send it again where the connection is better"
CHOOSING = {
    "drop": "or drop them here",
    "drop_one": "or drop it here",
    "waiting": "waiting",
    "looking": "being checked",
    "arrived": "arrived",
    "refused": "not accepted",
    "lost": "{name} did not arrive: the connection was lost. Send it again.",
    "large": "{name} is larger than {most} MB, the most that is accepted. A photo is best sent as the phone saved it.",
}

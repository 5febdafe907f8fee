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
PROMISE = "Paints that live with what stays in the room."
PROMISE_MORE = (
    "Givens measures the worktop, floor and tile from phone photos, and shows which paints suit them, on the client's "
    "own walls."
)
HOW_IT_GOES = (
    ("photograph", "Photograph", "The client lays grey, white and black cards on what stays, and sends photos."),
    ("mark", "Mark", "You outline the cards and what stays. Colours appear, with how sure they are."),
    ("choose", "Choose and share", "Compare a shortlist, see it on the wall, send one link for a yes or no."),
)
TRY_SAMPLE = "Try it on the sample room"
HOW_HIDE = "Hide this"
HOW_SHOW = "How it goes"
ROOM_SEARCH = "Search rooms"
WHOSE = "Rooms shown"
WHOSE_TURN = {"all": "All {count}", "mine": "For me to do {count}", "client": "With the client {count}"}
NEW_ROOM = "New room"
NEW_ROOM_NAME = "Name of the room"
NEW_ROOM_EXAMPLE = "such as Alder Row sitting room"
NEW_ROOM_HELP = "The client reads the name too, above their photos and your scheme."
NEW_ROOM_BEGIN = "Begin"
NEW_ROOM_NAMELESS = "The room has no name yet. Write one, by which you and the client will know it."
NOT_NOW_THANKS = "Cancel"
NO_ROOMS = "No rooms yet"
NO_ROOMS_WHY = "Begin one and send the client the private link, or bring one in from a file."
NO_ROOMS_FOUND = "No room is called “{like}”. Look for part of its name, or clear the search."
NO_ROOMS_TURN = {"mine": "Nothing is left for you to do.", "client": "Nothing waits for a client.", "all": ""}
ROOMS_SHOWN = "{first:,} to {last:,} of {count:,}"
ROOMS_LATER, ROOMS_EARLIER = "Newer rooms", "Older rooms"
IMPORT = "Import a room"
IMPORT_CHOOSE = "Choose a room's file"
IMPORT_HELP = "A zip that was downloaded here or made by hand: room.toml and its photos."
GUARD = "Only this machine can open Givens: nobody has to sign in yet."
GUARD_HOW = "To let others in, each with a passphrase, stop the app and run"
SAMPLE_ROOM = "Sample room"
NO_PICTURE = "No photos yet"
NEWS = "New from the client"
# What a room's card says: matcher/service/room_list.py. What is counted is worded by ui/room_card.py.
STANDING = {
    "answered": "The client's answer: {answer}",
    "shared": "Shared {when}, no answer yet",
    "asked": "Asked of the client, not here yet: {text}",
    "linked": "Link made {when}, nothing in yet",
}
# The button of a card: matcher/service/steps.py.
NEXT_THING = {
    "answer": "See the answer",
    "look": "Look at the photos",
    "brief": "Write the brief",
    "photos": "Add photos",
    "mark": "Mark the photos",
    "mark photo": "Mark the next photo",
    "choose": "Choose the {role}",
    "outline": "Outline the {role}",
    "share": "Share the scheme",
    "see scheme": "See the scheme",
}
NEXT_STEP = "Next: {step}"
GO_TO_STEP = "Go to {step}"
ROOM_GONE = "This room cannot be opened"
REMOVE_ROOM = "Remove this room"
REMOVE_ROOM_SURE = "Remove the room, its photos and its links for good"

# The page of a new edition of the deck.
EDITION = "New edition"
EDITION_STEPS = (
    (
        "Choose its file",
        "It is compared with the deck in use: what is gone and what is nearest, what is new, what is another colour.",
    ),
    (
        "Every room is ranked with both",
        "In the background, for everybody. Nothing in a room changes, and no client sees anything of it.",
    ),
    (
        "Decide",
        "Put it in use when you are ready. Room by room you see what changes, and keep, exchange or choose anew.",
    ),
)
EDITION_CHOOSE = "Choose the new edition's file"
EDITION_CHOOSE_OTHER = "Look at another file"
EDITION_KINDS = "CSV, Parquet, CGATS or CxF3"
EDITION_ACCEPT = ".csv,.parquet,.txt,.cgats,.ti3,.cxf,.xml"
EDITION_NOW = "In use"
EDITION_DECK = "{name}, {size:,} paints"
EDITION_SINCE = "since {since:%d %b %Y, %H:%M}"
EDITION_SINCE_BY = "since {since:%d %b %Y, %H:%M}, put in use by {by}"
EDITION_FROM_TO = "{old} ({old_size:,} paints) to {new} ({size:,} paints)"
EDITION_FACTS = {
    "gone": "gone",
    "renamed": "of these the same colour under a new code",
    "added": "new",
    "moved": "of another colour",
}
EDITION_ROOMS = "Rooms shown"
EDITION_WHICH = {"open": "To decide {count}", "all": "All that change {count}"}
EDITION_READY = "Getting ready"
EDITION_COUNT = "{done:,} of {of:,} rooms"
EDITION_BEGUN_BY = "begun by {by}"
EDITION_GOES_ON = "It goes on when this page is closed. Nothing in a room changes by it."
EDITION_LIST_WAITS = "The rooms in which something changes are listed here as soon as all of them are ranked."
EDITION_STOP = "Stop"
EDITION_STOPPING = "Stopping, after the rooms in hand."
EDITION_STANDING = {
    "stopped": "Not every room was ranked: it was stopped. What was found is kept.",
    "lost": "Not every room was ranked: the server that did it was ended. What was found is kept.",
    "failed": "Not every room was ranked: {problem} What was found is kept.",
}
EDITION_GO_ON = "Go on"
EDITION_SEND_AGAIN = "Its file is not kept here: choose it below to go on, or to put it in use."
EDITION_OVER = "Put {name} in use"
EDITION_OVER_HELP = "The app still ranks {old}. Once the new edition is in use its paints can be taken here."
EDITION_OVER_WHAT = (
    "Every room of every consultant, {rooms:,} in all, is ranked with {name} from then on. Something changes in "
    "{changed:,}.",
    "What clients were shown stays as it was.",
    "A chosen paint is gone in {gone:,}: it stays chosen, with a note, until somebody decides.",
    "{old} is kept: you can go back.",
)
EDITION_BACK_TO = "Go back to {name}"
EDITION_BACK_WHAT = (
    "Every room, of every consultant, is ranked with {name} again.",
    "What clients were shown stays as it was, and so does what was decided.",
)
EDITION_BACK_YES, EDITION_NOT_YET = "Go back", "Not now"
EDITION_UNRANKED = "Rooms that could not be ranked: {count}"
EDITION_ALL_DECIDED = "Everything is decided."
EDITION_NOTHING = "Nothing changes in your rooms."
EDITION_TO_SCHEME = "Open the scheme"
EDITION_TO_SHORTLIST = "Open the shortlist"
EDITION_CLIENT = "The client sees what you shared, unchanged, until you share anew."
EDITION_PAIR = "{was}, then {now}"
EDITION_WAYS = {"take": "Take {code}", "choose": "Choose another", "leave": "Keep it as it is"}
EDITION_SEEN = "Seen"
EDITION_ALL_SEEN = "Seen, all {count:,} rooms in which only a first choice is another"
EDITION_NEW_CODES = "Take the new code, in all {count:,} rooms whose chosen paint only has another code"
EDITION_DECIDED = {"take": "{code} is chosen", "choose": "To be chosen anew", "leave": "Kept as it is"}
EDITION_UNDO = "Undo"
EDITION_BACK, EDITION_ON = "Earlier rooms", "More rooms"
EDITION_NOTICE = {
    "one": "A new edition of the deck changes something in one of your rooms.",
    "many": "A new edition of the deck changes something in {count} of your rooms.",
}
EDITION_LOOK = "Look and decide"
EDITION_LINK = "The deck in use, and a new edition"
EDITION_LOST = "{paints}: chosen here, and no longer in the deck in use. It is ranked as the edition before had it."
EDITION_LOST_WAY = "See what comes nearest"

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
NOT_KNOWN = "not known"
FACING = "Main window faces"
LATITUDE = "Latitude, degrees (south negative)"
LAMPS = "Lamps"
WARMTH = "Warm or cool"
WARMTH_WORDS = {"either": "No preference", "warm": "Warm", "cool": "Cool"}
ROLES_TO_PAINT = "What may be painted"
LRV_RANGE = "LRV of the walls"
LRV_ANY = "Any LRV for the walls"
# Folds of the brief: each title is followed by what is said in it.
FOLD, FOLD_NOTHING = "{title}: {said}", "{title}"
HOUSE = "The house, and the day to show"
COUNTRY = "Country"
COUNTRY_HELP = "For cautions by the rules there, and for litres or gallons"
BUILT = "Year the house was built"
BUILT_HELP = "Old paint may hold lead: by the year, the painter is warned"
DAY = "Day whose light is shown"
SIZES = "Sizes, for litres and tins"
UNITS = "In"
UNIT_WORDS = {"metres": "metres", "feet": "feet"}
# By units: of a length, and of an area.
LENGTH_UNIT = {"metres": "m", "feet": "ft"}
AREA_UNIT = {"metres": "m²", "feet": "sq ft"}
SIZE_LENGTH, SIZE_WIDTH, SIZE_HEIGHT = "Length, {unit}", "Width, {unit}", "Height, {unit}"
SIZE_OPENINGS = "Windows and doors, {unit}"
SIZE_WALLS = "Walls as painted, {unit}"
SIZE_WALLS_HELP = "Instead of length, width and height, where it is known"
SIZE_TRIM = "Trim, running {unit}"
SIZE_OWN = "{role}, {unit}"
KEPT_WISHES = "Wishes that have to be kept"
AVOID = "Paints not to use"
AVOID_EXAMPLE = "Codes or names, parted by commas"
AVOID_FAMILIES = "Colours not to use"
MOST_PAINTS, MOST_PAINTS_ANY = "Different paints to buy, at most", "any number"
KEPT_LRV = "{role}: LRV to keep"
KEPT_LRV_HELP = "From end to end: any"
APART_PAIR = "{first} and {second}"
APART_ANY = "any contrast"
APART_LEAST, APART_MOST = "at least {least:g} LRV apart", "at most {most:g} LRV apart"
APART_BETWEEN = "{least:g} to {most:g} LRV apart"
ONE_TRIM = "One trim for all rooms in view"
IN_VIEW = "Rooms seen from here"
IN_VIEW_NONE = "None of your other rooms is here yet: begin one, then choose it here."
IN_VIEW_CHOOSE = "Your other rooms"
IN_VIEW_HELP = "Their paints are chosen with this room's, so that walls and trim go together through the door"
IN_VIEW_PLACEHOLDER = "None"
IN_VIEW_THROUGH = "{name}: seen through"
IN_VIEW_THROUGH_EXAMPLE = "open doorway, glazed door, landing"
SAVES_ITSELF = "Saves itself as you go"
SAVED_AT = "Saved {at:%H:%M}"
NOT_SAVED = "Not saved"
FROM_CLIENT = "What the client wrote"
PHOTOS_TITLE = "Photos"
PHOTOS_INTRO = (
    "One picture of the whole room, then each surface close up with a grey card, better white, grey and black, "
    "lying flat on it."
)
PHOTOS_ADD = "Add photos"
NO_PHOTOS = "No photos yet. Add some here, or send the client the private link."
NO_PHOTOS_LINK = "Make the private link"
WHOLE_ROOM = "The whole room"
WHOLE_ROOM_USE = "Use as the whole room"
WHOLE_ROOM_DROP = "Not the whole room"
WHOLE_ROOM_WHY = "It stands for the room in the list, and is the one repainted on the wall."
PHOTO_GOOD = "Good to measure from"
PHOTO_ELSE = "Everything else is fine"
REMOVE = "Remove"
REMOVE_SURE = "Remove this photo?"
REMOVE_MARKS = "Remove this photo? What is outlined in it goes too: {count} outlines."
REMOVE_MARK = "Remove this photo? What is outlined in it goes too: 1 outline."
REMOVE_YES, REMOVE_NO = "Yes, remove it", "Keep it"
BY_CLIENT = "from the client"

MARK_TITLE = "Mark"
# Of a page that has nothing to show yet: a title, and what is enough to begin.
MARK_NO_PHOTOS = (
    "No photo to mark yet",
    "One photo of a surface with a grey card on it is enough to begin. What you read with an instrument needs none: "
    "enter it below.",
)
COLOURS = "Measured so far"
COULD_BE = "Lower strip: what it could be"
COULD_BE_SAID = "what it could truly be, from dark to light"
COLOUR_WAITS = "Not measured yet"
COLOURS_CLOSE = "Each colour more closely"
NO_COLOURS = "Confirm the cards and outline one surface, and its colours appear here."
BESIDE_CHIP = "Left the {surface}, right {code} {name}"
CHIPS_IN_USE = "The chips are of the deck in use"
CHIPS_AS_BEFORE = "Measure them as before"
CHIPS_IN_USE_DONE = "The chips are measured as the deck in use has them."
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

SHORTLIST_NOTHING = ("Nothing to match yet", "A grey card and one surface that stays are enough for a first shortlist.")
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
CLOSE = "Close"
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

# The page of one paint: matcher/service/examined.py. What is said there comes worded from the service.
PAINT_TITLE = "One paint"
PAINT_CLOSELY_NAMED = "Examine {name}"
PAINT_BACK = {"shortlist": "Back to shortlist", "scheme": "Back to scheme"}
PAINT_OTHER = "Another paint"
PAINT_SEARCH = "Code or name"
PAINT_NOT_FOUND = "No paint of the deck is called “{text}”. Try fewer letters."
PAINT_NONE = "Choose a paint under “Another paint”: a few letters of its code or name are enough."
PAINT_ALONE = "Nothing is measured in this room yet, so the paint is shown by itself."
PAINT_LEANS, PAINT_MEANS, PAINT_DETAILS = "Which way it leans", "What it means", "In numbers, for other software"
PAINT_NEIGHBOURS, PAINT_AROUND, PAINT_PARTNERS = "Its neighbours", "What its surroundings do to it", "Quiet partners"
PAINT_DAY, PAINT_DAY_MORE = "Through the day in this room", "Hour by hour"

WALL_NOTHING = ("Nothing to repaint yet", "Outline what is to be painted, in the picture of the whole room.")
WALL_BEFORE, WALL_AFTER = "Before", "After"
WALL_VIEWS = {"before": WALL_BEFORE, "half": "Half and half", "after": WALL_AFTER}
WALL_VIEW = "Show the room"
WALL_SLIDER = "How much of the new paint shows"
WALL_LOADING = "Repainting…"
WALL_SHOW = "Show"
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

# The page of the room's light; what the light means is said by matcher/report/light_words.py.
LIGHT_PAGE = "Through the day"
LIGHT_LINK_PAINT = "See it through the day"
LIGHT_SKY = "Sky"
LIGHT_SKIES = {"clear": "Clear sky", "overcast": "Grey sky"}
LIGHT_DAY = "Day"
LIGHT_WHICH = "Paint shown large"
LIGHT_PAINT = "{role}: {name}"
LIGHT_SLIDER = "Hour of the day, then lamps"
LIGHT_WHITE, LIGHT_LAMPS = "White card", "lamps"
LIGHT_STRIP = "{name}, hour by hour, then by lamp"
LIGHT_MOMENT = "{name} beside a white card and what stays: {moment}"
LIGHT_NUMBERS = "The light"
LIGHT_SEEN = "{name} as seen, CIELAB"
LIGHT_KEEPS = "{name} keeps {keeps:.2f} of its character through the day, from 0 to 1."
LIGHT_TO_BRIEF = "Say it in the brief"

# The pages beside the steps, by the names in their addresses.
BESIDE_STEPS = {"paint": PAINT_TITLE, "light": LIGHT_PAGE, "edition": EDITION}

SCHEME_NOTHING = ("No scheme yet", "A grey card and one surface that stays are enough to choose by.")
SCHEME_CHECKED = "What was checked"
SCHEME_CONTRAST = "For people with low vision"
SCHEME_OTHER = "Other ways to go"
SCHEME_OTHER_NOTE = "Each differs from the scheme in one thing."
SCHEME_PINNED = "Chosen by you"
SCHEME_KEEP, SCHEME_LET_GO, SCHEME_ANOTHER = "Keep", "Let go", "Another"
SCHEME_KEEP_HELP = "Keep this paint, whatever else changes around it"
SCHEME_LET_GO_HELP = "Leave this role free again: the best paint for it is chosen anew"
SCHEME_ANOTHER_HELP = "Not this paint, anywhere in the room: the next best scheme without it"
SCHEME_KEPT = "{name} is now kept for the {role}; the rest was chosen around it."
SCHEME_FREE = "Free to choose again: {role}."
SCHEME_AVOIDED = "Chosen anew without {name}, which now stands in the brief among the paints not to use."
GIVE_UP = "Give up: {wish}"
GAVE_UP = "Given up: {wish}."
TO_WISHES, TO_SIZES = "Change the wishes", "Say the sizes"
LADDER = "A white for the trim"
LADDER_NOTE = "Each step from this deck, beside these walls and what stays."
# By what a white does beside a surface or a role, as the result says it.
LADDER_WELL = {"sits": "Sits quietly with {names}.", "contrasts": "Stands clear of {names}."}
COMPANIONS = "With these walls"
COMPANIONS_NOTE = "Paints of the same family, and one across from it."
SCHEME_USE_FOR, SCHEME_USED_FOR = "Use for the {role}", "In use for the {role}"
TAKES = "What it takes to paint"
TAKES_NOTE = "An estimate: coats by how well the paint hides, litres by area with a tenth over."
TAKES_COLUMNS = ("Surface", "Area", "Coats", "Paint", "To buy")
TAKES_SIZES = "With the room's sizes it says litres and tins too."
HANDOVER = "Hand over"
HANDOVER_NOTE = "The scheme as it stands now, made when you press."
HANDOVER_SCHEDULE = "Painter's schedule (PDF)"
# What can be handed over: what it is, and each of its files with its guarded address.
_Files = tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
HANDOVER_FILES: _Files = (
    ("For the client", (("PDF", "/handover/{room}/client.pdf"), ("Page", "/report/{room}?appendix=0"))),
    ("For the painter", (("PDF", "/handover/{room}/schedule.pdf"), ("Table (CSV)", "/handover/{room}/schedule.csv"))),
    (
        "The colours",
        (
            ("CSV", "/handover/{room}/swatches.csv"),
            ("CSS", "/handover/{room}/swatches.css"),
            ("Palette (GPL)", "/handover/{room}/swatches.gpl"),
        ),
    ),
)
HANDOVER_ROOM_FILES: _Files = (
    ("The full report", (("One page", "/report/{room}"),)),
    ("The room with its photos", (("Zip", "/room/{room}.zip"),)),
)
DOORWAYS = "Through the doorway"
DOORWAYS_NOTE = "Chosen together with this room. What is not kept there yet is a proposal for it."
DOORWAY_THROUGH = "seen through: {through}"
DOORWAY_HERE = "Here"
DOORWAY_SEEN = "{name} seen from here: its walls in {theirs}, these in {own}"
DOORWAY_SEEN_ALONE = "{name} seen from here: its walls in {theirs}"
DOORWAY_KEPT = "kept there"
DOORWAY_OPEN = "Scheme of {name}"
DOORWAY_KEEP = "Keep these in {name}"
# By why a room in view is not part of the scheme: what is said of it, and where that is mended.
DOORWAYS_SHUT = {
    "bare": "{name}: nothing is measured there yet, so this scheme was chosen without it.",
    "broken": "{name}: its brief or marks ask for what cannot be, so this scheme was chosen without it.",
    "gone": "{name}: not here any more, so this scheme was chosen without it.",
    "file": "{name}: a file that did not come with this room, so this scheme was chosen without it.",
}
DOORWAY_TO = {"bare": "Measure {name}", "broken": "Look at {name}"}
DOORWAY_TO_BRIEF = "Choose other rooms"
ZIP_WITHOUT_ROOMS = "The zip only names the rooms in view: elsewhere, bring them in too and choose them anew."
SCHEME_WHY = "Why these paints"
SCHEME_CHANGE = "Change a paint"
SCHEME_TAKEN = "In use now: {title}."
SCHEME_UNDO = "Undo"
SCHEME_PICTURE = "The room with the scheme on {roles}"
SCHEME_AS_IT_IS = "The room as it is now"
# By why a role is not shown in its paint; the roles follow.
SCHEME_UNMEASURED = "Nothing tells how light their paint is now, so not shown repainted: {roles}."
SCHEME_NO_OUTLINE = "Not outlined in the picture of the whole room, so not shown repainted: {roles}."
SCHEME_TO_MARK = "Open Mark"
SCHEME_FOLLOWS = "Use this"
HOLDS, LOOK_AGAIN = "Holds", "Look again"

SHARE_TITLE = "Share with the client"
SHARE_WHAT = "What the client gets to see"
SHARE_SCHEME = "The scheme, with its reasons"
SHARE_PICTURES = "Their room repainted, before and after"
SHARE_NO_PICTURES = "No picture goes with it, as none of these is outlined and measured: {roles}."
SHARE_DOCUMENT = "The document as a PDF, to keep or print"
SHARE_OTHERS = "Other ways to go, three at most"
REMARK = "Note to the client"
SHARE = "Share with the client"
SHARE_AGAIN = "Share it again"
SHARE_WITH_LINK = "Share, and make the link"
SHARED = "The client can now see this at the private link."
SHARED_SINCE = "Shared {when:%d %b, %H:%M}. What was changed since is not shared yet."
SHARED_NOW = "Shared {when:%d %b, %H:%M}. The client sees the scheme as it is now."
SHARE_PREVIEW = "What the client sees"
SHARE_VERSIONS = "Shared so far ({count})"
SHARE_VERSION = "{when:%d %b, %H:%M}"
SHARE_SHOWN = "shown now"
SHARE_WITH_PICTURES, SHARE_WITH_DOCUMENT = "with pictures", "with the document"
SHARE_OPEN_DOCUMENT = "PDF as it was then"
ANSWERS = "What the client answered"
ANSWER_OLDER = "To what was shared before."
ANSWER_EARLIER = "Earlier answers ({count})"
ANSWER_WHOLE = "The whole"
CHOICE_WORDS: dict[Choice, str] = {"like": "I like it", "not sure": "Not sure", "no": "Not for me"}
WHOLE_WORDS: dict[Choice, str] = {
    "like": "Yes, let us try boards",
    "not sure": "Nearly; please change what I marked",
    "no": "No, another direction",
}

LINK_TITLE = "Private link for the client"
LINK_INTRO = (
    "Through this link the client sends photos and a short brief, and later reads what you share. "
    "Whoever has the link can do the same, so send it to the client alone."
)
LINK_MAKE = "Make a link"
LINK_AGAIN = "Make a new link"
LINK_ONCE = "Copy it now: it is not kept here and cannot be shown again."
LINK_OPEN = "A link is open until {expires:%d %b}."
LINK_UNTIL = "Open until {expires:%d %b}."
LINK_USED = "Last opened {used:%d %b, %H:%M}."
LINK_UNUSED = "Not opened yet."
LINK_NOT_KEPT = "Its address is not kept here: if the client has lost it, make a new one."
LINK_REVOKE = "Close the link"
LINK_REVOKE_ALL = "Close all {count} links"
LINK_OVER = "Closed links ({count})"
LINK_STATE = "made {created:%d %b}, until {expires:%d %b}, {state}"
LINK_REVOKED, LINK_EXPIRED = "closed", "expired"
LINK_ADDRESS = "Address of the link"
LINK_CODE = "The link as a code that a phone's camera reads"
LINK_MESSAGE = "Text for a message"
LINK_TEXT = {
    "photos": "Here is your private page for the {room}: how to take the photos, and a few questions. Open it on your "
    "phone.\n\n{address}",
    "scheme": "Here is what I suggest for the {room}. Open it on your phone, look at it in the room, and tell me "
    "what you think of each colour.\n\n{address}",
}
# By how far the address reaches: matcher/service/public_address.py.
LINK_REACH = {
    "here": "Only this machine opens this address. For others, set public_url in givens.toml to the address they "
    "reach the app by.",
    "answers": "Tried just now: this address leads here.",
    "silent": "Tried just now: nobody answers at this address. Check public_url, and the web server behind it.",
    "another": "Tried just now: what answers at this address is not this app under that name. Check public_url, and "
    "hosts.",
    "in use": "It begins with the address you are using now.",
}
COPY, COPIED = "Copy", "Copied"
NEWS_AT = {"answer": "New: the client has answered", "photos": "New photos from the client"}

CLIENT_GONE = "This link does not open anything"
CLIENT_GONE_WHY = "It may have expired, or your consultant has withdrawn it. Ask them for a new one."
CLIENT_TITLE = "Show us what is staying"
CLIENT_INTRO = (
    "A few photos and a few questions, about ten minutes. We measure the colours you are keeping, so that the new "
    "paint is chosen to live with them."
)
CLIENT_HOW = "How to take them"
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
CLIENT_CAMERA = "Take a photo"
CLIENT_PRIVATE = "Only your consultant sees them. Where they were taken is not passed on."
CLIENT_NEED = "A few questions"
CLIENT_NEED_NOTE = "Leave out what you do not know."
CLIENT_ROLES = "What may be painted?"
CLIENT_ROLES_NOTE = "Marked is what your consultant has in mind so far."
CLIENT_WARMTH = "Would you like it warmer or cooler?"
CLIENT_STAYS = "What stays as it is (worktop, floor, tile, a sofa)"
CLIENT_DISLIKES = "Colours you do not want to see"
CLIENT_SEND_BRIEF = "Send to my consultant"
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
CLIENT_BRIEF_SAVED = "Thank you, that is saved. You can change it whenever you like."
CLIENT_BRIEF_EMPTY = "Nothing was changed, so nothing was sent: what is marked is where your consultant begins."
CLIENT_FINE = "Good"
CLIENT_BETTER = "Once more, please"
CLIENT_PHOTO = "Photo {number}"
CLIENT_SHARED = "Your room, repainted"
CLIENT_SHARED_PLAIN = "What your consultant suggests"
CLIENT_FROM = "From your colour consultant, for {room}"
CLIENT_CLOSE = "The picture is close, not exact. Sample boards decide."
CLIENT_AS_NOW = "Not painted in the picture: {roles}."
CLIENT_NOW, CLIENT_HALF, CLIENT_THEN = "As it is", "Half", "Repainted"
CLIENT_VIEW = "What to look at"
CLIENT_SLIDER = "How much of the room is shown repainted"
CLIENT_NOW_SAID, CLIENT_THEN_SAID = "Your room as it is now", "Your room in the new paints"
CLIENT_SCHEME = "The colours"
CLIENT_SCHEME_NOTE = "Each paint beside what stays."
CLIENT_MIND = "Mind:"
CLIENT_ROLE_ANSWER = "{role}: what do you think?"
CLIENT_ROLE_NOTE = "{role}: a word on it, if you like"
CLIENT_OTHERS = "Other ways it could go"
CLIENT_OTHERS_NOTE = "If you prefer one of these, say so below."
CLIENT_NEXT = "What to do next"
CLIENT_NEXT_NOTE = "Nothing is bought for the whole room until you have lived with boards for a day."
CLIENT_NEXT_STEPS = (
    ("Order sample pots", "{paints}."),
    (
        "Paint a white board for each",
        "About 60 by 60 cm (2 by 2 feet), two coats, a white edge left all round. Let them dry overnight.",
    ),
    ("Stand them where they will live", "Upright against what stays, then by the window."),
    ("Look four times", "Morning, noon, late afternoon, and by the lamps in the evening."),
)
CLIENT_KEEP = "All of this to keep or print"
CLIENT_KEEP_NOTE = "A PDF of a few pages."
CLIENT_CAUTION = "Before anyone sands:"
CLIENT_CAUTION_WHY = "old paint can hold lead. Have it tested first, and follow the rules where you live."
CLIENT_ANSWER = "And all of it together?"
CLIENT_NOTE = "In your own words, if you like"
CLIENT_SEND_ANSWER = "Send my answer"
CLIENT_SEND_CHANGE = "Send the change"
CLIENT_MISSING = "Nothing was sent yet. Still to choose: {missing}."
CLIENT_MISSING_WHOLE = "what you think of the whole"
CLIENT_ANSWERED = "Your answer is with your consultant."
CLIENT_ANSWERED_WHEN = "Sent {when:%d %b, %H:%M}. You can change it below."
CLIENT_NO_ANSWER = "no answer yet"
CLIENT_NOT_YET = "Your consultant has not shared anything yet. It will appear here."
NOTHING_HERE = "There is nothing here."
AWAY_TITLE = "One moment"
AWAY = "The place where everything is kept does not answer at the moment. This page goes on by itself once it does."
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
    "broken": "connection lost, going on as soon as it is back",
    "again": "Go on sending",
    "left": "{count} of {all} sent. The others are kept here and go on by themselves.",
    "large": "{name} is larger than {most} MB, the most that is accepted. A photo is best sent as the phone saved it.",
}
